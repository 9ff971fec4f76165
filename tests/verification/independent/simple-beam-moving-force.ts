/**
 * A constant force crossing a simply supported uniform beam, by modes in closed form: L. Fryba, Vibration of Solids and Structures
 * under Moving Loads (3rd ed. 1999), chapter 1 (mem). Written for a force row by superposition.
 *
 * q'' + 2 z w q' + w^2 q = (2 P / (m L)) sin(W t), W = n pi c / L, from rest, until t = L / c; then free.
 */
export interface SimpleBeam {
  readonly length: number;
  readonly massPerLength: number;
  readonly flexuralRigidity: number;
  readonly dampingRatio: number;
}

/** rad/s */
export function beamFrequency(beam: SimpleBeam, mode: number): number {
  return ((mode * Math.PI) / beam.length) ** 2 * Math.sqrt(beam.flexuralRigidity / beam.massPerLength);
}

/** Amplitude of the n-th sine and its first two time derivatives at time t after a unit force entered. */
export function modalResponse(
  beam: SimpleBeam,
  mode: number,
  speed: number,
  t: number,
): { readonly q: number; readonly v: number; readonly a: number } {
  if (t <= 0) return { q: 0, v: 0, a: 0 };
  const w = beamFrequency(beam, mode);
  const z = beam.dampingRatio;
  const forcing = (mode * Math.PI * speed) / beam.length;
  const scale = 2 / (beam.massPerLength * beam.length);
  const crossing = beam.length / speed;
  // Steady part A sin + B cos of the forced vibration.
  const difference = w * w - forcing * forcing;
  const damping = 2 * z * w * forcing;
  const denominator = difference * difference + damping * damping;
  const a = (scale * difference) / denominator;
  const b = (-scale * damping) / denominator;
  const steady = (time: number) => ({
    q: a * Math.sin(forcing * time) + b * Math.cos(forcing * time),
    v: forcing * (a * Math.cos(forcing * time) - b * Math.sin(forcing * time)),
  });
  const free = (q0: number, v0: number, time: number) => {
    const damped = w * Math.sqrt(1 - z * z);
    const decay = Math.exp(-z * w * time);
    const c = q0;
    const s = (v0 + z * w * q0) / damped;
    const cosine = Math.cos(damped * time);
    const sine = Math.sin(damped * time);
    return {
      q: decay * (c * cosine + s * sine),
      v: decay * (-z * w * (c * cosine + s * sine) + damped * (-c * sine + s * cosine)),
    };
  };
  const start = steady(0);
  const during = (time: number) => {
    const forced = steady(time);
    const transient = free(-start.q, -start.v, time);
    return { q: forced.q + transient.q, v: forced.v + transient.v };
  };
  if (t <= crossing) {
    const { q, v } = during(t);
    return { q, v, a: scale * Math.sin(forcing * t) - 2 * z * w * v - w * w * q };
  }
  const end = during(crossing);
  const { q, v } = free(end.q, end.v, t - crossing);
  return { q, v, a: -2 * z * w * v - w * w * q };
}

/** Deflection and acceleration at x under forces P_k that enter at t_k. */
export function beamResponse(
  beam: SimpleBeam,
  modes: number,
  speed: number,
  forces: readonly { readonly load: number; readonly behind: number }[],
  x: number,
  t: number,
): { readonly deflection: number; readonly acceleration: number } {
  let deflection = 0;
  let acceleration = 0;
  for (let mode = 1; mode <= modes; mode++) {
    const shape = Math.sin((mode * Math.PI * x) / beam.length);
    if (Math.abs(shape) < 1e-12) continue;
    for (const { load, behind } of forces) {
      const { q, a } = modalResponse(beam, mode, speed, t - behind / speed);
      deflection += load * shape * q;
      acceleration += load * shape * a;
    }
  }
  return { deflection, acceleration };
}
