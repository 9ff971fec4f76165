/** A mass on a spring that rolls over a simple beam at constant speed; positive downwards, mass from its static equilibrium. */
export interface SprungMassCrossing {
  readonly length: number;
  readonly massPerLength: number;
  readonly flexuralRigidity: number;
  readonly modes: number;
  readonly mass: number;
  readonly stiffness: number;
  readonly speed: number;
}

export interface CrossingPeaks {
  /** Largest midspan deflection while the mass is on the beam, m. */
  readonly deflection: number;
  /** Largest size of the mass's acceleration in that time, m/s2. */
  readonly acceleration: number;
}

/**
 * Sine modes and the mass as one system of ordinary differential equations, by the classical Runge-Kutta method of fourth order:
 * q_j'' + w_j^2 q_j = F phi_j(v t), M z'' = M g - F, F = M g + k (z - sum of phi_j q_j).
 */
export function crossingPeaks(crossing: SprungMassCrossing, steps: number): CrossingPeaks {
  const { length, massPerLength, flexuralRigidity, modes, mass, stiffness, speed } = crossing;
  const scale = Math.sqrt(2 / (massPerLength * length));
  const omega = Array.from({ length: modes }, (_, j) => {
    return (((j + 1) * Math.PI) / length) ** 2 * Math.sqrt(flexuralRigidity / massPerLength);
  });
  const shape = (j: number, x: number) => scale * Math.sin(((j + 1) * Math.PI * x) / length);
  const size = 2 * modes + 2;
  const rates = (t: number, y: readonly number[]): number[] => {
    const x = speed * t;
    let under = 0;
    for (let j = 0; j < modes; j++) under += shape(j, x) * y[2 * j]!;
    const force = mass * 9.81 + stiffness * (y[2 * modes]! - under);
    const result: number[] = [];
    for (let j = 0; j < modes; j++)
      result.push(y[2 * j + 1]!, force * shape(j, x) - omega[j]! ** 2 * y[2 * j]!);
    result.push(y[2 * modes + 1]!, 9.81 - force / mass);
    return result;
  };
  let y: number[] = new Array(size).fill(0);
  let deflection = 0;
  let acceleration = 0;
  const h = length / speed / steps;
  const shifted = (from: readonly number[], by: readonly number[], share: number) =>
    from.map((value, i) => value + share * by[i]!);
  for (let k = 0; k < steps; k++) {
    const t = k * h;
    const a = rates(t, y);
    const b = rates(t + h / 2, shifted(y, a, h / 2));
    const c = rates(t + h / 2, shifted(y, b, h / 2));
    const d = rates(t + h, shifted(y, c, h));
    y = y.map((value, i) => value + (h / 6) * (a[i]! + 2 * b[i]! + 2 * c[i]! + d[i]!));
    let middle = 0;
    for (let j = 0; j < modes; j++) middle += shape(j, length / 2) * y[2 * j]!;
    deflection = Math.max(deflection, middle);
    acceleration = Math.max(acceleration, Math.abs(rates(t + h, y)[size - 1]!));
  }
  return { deflection, acceleration };
}
