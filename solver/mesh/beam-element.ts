/**
 * Two-node beam element with degrees of freedom [w1, rotation1, w2, rotation2]; w downwards, rotation = dw/dx of the section.
 *
 * Shear deformation enters through phi = 12 EI / (GA l^2); phi = 0 is Euler-Bernoulli. Stiffness and shape functions:
 * J. S. Przemieniecki, Theory of Matrix Structural Analysis (1968), sections 5.6 and 11.3. Rotary inertia is left out.
 */
export interface BeamProperties {
  readonly length: number;
  readonly flexuralRigidity: number;
  readonly massPerLength: number;
  /** Null: no shear deformation. */
  readonly shearRigidity: number | null;
}

export function shearParameter(beam: BeamProperties): number {
  if (beam.shearRigidity === null) return 0;
  return (12 * beam.flexuralRigidity) / (beam.shearRigidity * beam.length * beam.length);
}

/** Values of the four shape functions at a distance from the first node, written to `shape`. */
export function shapeFunctions(beam: BeamProperties, distance: number, shape: Float64Array): void {
  const phi = shearParameter(beam);
  const l = beam.length;
  const r = distance / l;
  const s = 1 / (1 + phi);
  shape[0] = s * (1 - 3 * r * r + 2 * r * r * r + phi * (1 - r));
  shape[1] = s * l * (r - 2 * r * r + r * r * r + 0.5 * phi * (r - r * r));
  shape[2] = s * (3 * r * r - 2 * r * r * r + phi * r);
  shape[3] = s * l * (-r * r + r * r * r - 0.5 * phi * (r - r * r));
}

/**
 * min(a, s) (l - max(a, s)) / l at s for what acts at a: a load bends a beam between its nodes by this more than its end moments do, and a torque
 * turns what lies between them by more than they tell, by this per unit of 1 / GJ.
 */
export function withinSimpleSpan(length: number, at: number, along: number): number {
  return (Math.min(at, along) * (length - Math.max(at, along))) / length;
}

/** 4 x 4 stiffness, row by row. */
export function beamStiffness(beam: BeamProperties): Float64Array {
  const phi = shearParameter(beam);
  const l = beam.length;
  const c = beam.flexuralRigidity / ((1 + phi) * l * l * l);
  const a = 6 * l * c;
  const near = (4 + phi) * l * l * c;
  const far = (2 - phi) * l * l * c;
  const k = 12 * c;
  return Float64Array.of(k, a, -k, a, a, near, -a, far, -k, -a, k, -a, a, far, -a, near);
}

const gaussPoints = [-0.8611363115940526, -0.3399810435848563, 0.3399810435848563, 0.8611363115940526];
const gaussWeights = [0.34785484513745385, 0.6521451548625461, 0.6521451548625461, 0.34785484513745385];

/** 4 x 4 consistent mass, row by row; four Gauss points integrate the sextic exactly. */
export function beamMass(beam: BeamProperties): Float64Array {
  const mass = new Float64Array(16);
  const shape = new Float64Array(4);
  for (let point = 0; point < 4; point++) {
    shapeFunctions(beam, (beam.length * (1 + gaussPoints[point]!)) / 2, shape);
    const weight = (gaussWeights[point]! * beam.length * beam.massPerLength) / 2;
    for (let i = 0; i < 4; i++)
      for (let j = 0; j < 4; j++) mass[4 * i + j]! += weight * shape[i]! * shape[j]!;
  }
  return mass;
}

/** Nodal loads that do the same work as a uniform line load: [force, moment, force, moment]. */
export function uniformLoad(beam: BeamProperties, load: number): Float64Array {
  const force = (load * beam.length) / 2;
  const moment = (load * beam.length * beam.length) / 12;
  return Float64Array.of(force, moment, force, -moment);
}
