import { EVD, Matrix } from 'ml-matrix';
import type { Consist } from './consist.js';

/** A lever: one or two degrees of freedom of a component, and the factor of the second one (a pitch). */
export interface Lever {
  /** Degree of freedom of the heave, in the component. */
  readonly heave: number;
  /** Degree of freedom of the pitch; -1 for a body without. */
  readonly pitch: number;
  /** Displacement of the point = heave + arm x pitch. */
  readonly arm: number;
}

/** Bodies that suspensions connect, as dense matrices, row by row; the wheel contacts are not in them. */
export interface VehicleComponent {
  readonly size: number;
  readonly mass: Float64Array;
  readonly damping: Float64Array;
  readonly stiffness: Float64Array;
  /** Indices of the consist's wheels that stand under this component, ascending. */
  readonly wheels: Int32Array;
  /** Degree of freedom of each of those wheels. */
  readonly wheelFreedoms: Int32Array;
}

export interface VehicleSystem {
  readonly components: readonly VehicleComponent[];
  /** Per floor point of the consist. */
  readonly floor: readonly { readonly component: number; readonly lever: Lever }[];
  /** Hz, the slowest motion of any body on level track. */
  readonly slowestFrequency: number;
}

/** Mass, damping and stiffness of every group of connected bodies. */
export function buildVehicleSystem(consist: Consist): VehicleSystem {
  const group = connectedGroups(consist);
  const count = group.reduce((most, value) => Math.max(most, value + 1), 0);
  const heave = new Int32Array(consist.bodies.length);
  const pitch = new Int32Array(consist.bodies.length).fill(-1);
  const sizes = new Int32Array(count);
  // Degrees of freedom follow the train, so that what is coupled weakly lies far from the diagonal.
  const order = consist.bodies.map((_, body) => body);
  order.sort((a, b) => consist.bodies[a]!.position - consist.bodies[b]!.position || a - b);
  for (const body of order) {
    const own = group[body]!;
    heave[body] = sizes[own]!++;
    if (consist.bodies[body]!.pitchInertia !== null) pitch[body] = sizes[own]!++;
  }
  const leverOf = (body: number, position: number): Lever => ({
    heave: heave[body]!,
    pitch: pitch[body]!,
    arm: consist.bodies[body]!.position - position,
  });
  const components = Array.from(sizes, (size, component): VehicleComponent => {
    const wheels = consist.wheels.flatMap(({ body }, wheel) => (group[body] === component ? [wheel] : []));
    return {
      size,
      mass: new Float64Array(size),
      damping: new Float64Array(size * size),
      stiffness: new Float64Array(size * size),
      wheels: Int32Array.from(wheels),
      wheelFreedoms: Int32Array.from(wheels, (wheel) => heave[consist.wheels[wheel]!.body]!),
    };
  });
  consist.bodies.forEach(({ mass, pitchInertia }, body) => {
    const { mass: target } = components[group[body]!]!;
    target[heave[body]!] = mass;
    if (pitchInertia !== null) target[pitch[body]!] = pitchInertia;
  });
  for (const { upper, lower, position, stiffness, damping } of consist.suspensions) {
    const component = components[group[upper]!]!;
    const stretch = [...terms(leverOf(upper, position), 1), ...terms(leverOf(lower, position), -1)];
    for (const [i, a] of stretch) {
      for (const [j, b] of stretch) {
        component.stiffness[i * component.size + j]! += stiffness * a * b;
        component.damping[i * component.size + j]! += damping * a * b;
      }
    }
  }
  return {
    components,
    floor: consist.floor.map(({ body, position }) => ({
      component: group[body]!,
      lever: leverOf(body, position),
    })),
    slowestFrequency: slowest(consist, components),
  };
}

function terms({ heave, pitch, arm }: Lever, sign: number): [number, number][] {
  return pitch < 0
    ? [[heave, sign]]
    : [
        [heave, sign],
        [pitch, sign * arm],
      ];
}

function connectedGroups({ bodies, suspensions }: Consist): Int32Array {
  const parent = Int32Array.from(bodies, (_, body) => body);
  const root = (body: number): number => {
    let at = body;
    while (parent[at] !== at) at = parent[at]!;
    return at;
  };
  for (const { upper, lower } of suspensions) parent[root(upper)] = root(lower);
  const numbers = new Map<number, number>();
  return Int32Array.from(bodies, (_, body) => {
    const own = root(body);
    if (!numbers.has(own)) numbers.set(own, numbers.size);
    return numbers.get(own)!;
  });
}

/** Undamped frequencies of a component on its contact springs, Hz, ascending. */
export function componentFrequencies(consist: Consist, component: VehicleComponent): number[] {
  const { size } = component;
  const matrix = Matrix.zeros(size, size);
  const root = Float64Array.from(component.mass, Math.sqrt);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j < size; j++)
      matrix.set(i, j, component.stiffness[i * size + j]! / (root[i]! * root[j]!));
  }
  component.wheelFreedoms.forEach((freedom, k) => {
    const added = consist.wheels[component.wheels[k]!]!.stiffness / component.mass[freedom]!;
    matrix.set(freedom, freedom, matrix.get(freedom, freedom) + added);
  });
  return new EVD(matrix, { assumeSymmetric: true }).realEigenvalues
    .map((value) => Math.sqrt(Math.max(0, value)) / (2 * Math.PI))
    .sort((a, b) => a - b);
}

function slowest(consist: Consist, components: readonly VehicleComponent[]): number {
  const known = new Map<string, number>();
  let least = Number.POSITIVE_INFINITY;
  for (const component of components) {
    const key = `${component.mass.join()}/${component.stiffness.join()}`;
    if (!known.has(key)) known.set(key, componentFrequencies(consist, component)[0]!);
    least = Math.min(least, known.get(key)!);
  }
  return least;
}
