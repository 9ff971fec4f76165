import type { ContactModes } from '../arithmetic/contact-modes.js';
import type { LineModes } from './line-modes.js';
import { linearCoefficients, linearRecurrence } from './linear-recurrence.js';

/**
 * The modes over time by the exact recurrence for a modal force linear over the step. A step has two halves, as that of
 * `ImplicitStep` has: `predict` moves the modes under the force at its start, `finish` adds what the force at its end does.
 */
export class ModalStep {
  readonly coordinates: Float64Array;
  readonly velocities: Float64Array;
  /** Modal forces at the end of the last step. */
  readonly forces: Float64Array;
  /** Modal forces at the start of the step, wheels that pass an end of the line within it taken into account. */
  readonly start: Float64Array;
  private readonly coefficients: Float64Array;

  /** @param quasiStatic modes follow their forces at once, for the limit v -> 0 */
  constructor({ angularFrequencies, dampingRatios }: LineModes, timeStep: number, quasiStatic: boolean) {
    const modeCount = angularFrequencies.length;
    this.coefficients = new Float64Array(linearCoefficients * modeCount);
    angularFrequencies.forEach((omega, mode) => {
      const offset = linearCoefficients * mode;
      if (quasiStatic) this.coefficients[offset + 3] = 1 / (omega * omega);
      else linearRecurrence(omega, dampingRatios[mode]!, timeStep, this.coefficients, offset);
    });
    this.coordinates = new Float64Array(modeCount);
    this.velocities = new Float64Array(modeCount);
    this.forces = new Float64Array(modeCount);
    this.start = new Float64Array(modeCount);
  }

  /** The next step starts from the forces that the last one ended with. */
  begin(): void {
    this.start.set(this.forces);
  }

  /** What the modes do if no force acts at the end of the step. */
  predict({ predicted, follows }: ContactModes): void {
    const { coefficients: a, coordinates: q, velocities: v, start } = this;
    for (let j = 0; j < q.length; j++) {
      const base = linearCoefficients * j;
      predicted[j] = a[base]! * q[j]! + a[base + 1]! * v[j]! + a[base + 2]! * start[j]!;
      follows[j] = a[base + 3]!;
      v[j] = a[base + 4]! * q[j]! + a[base + 5]! * v[j]! + a[base + 6]! * start[j]!;
    }
  }

  /** Takes over what the forces found for the end of the step do. */
  finish({ modalForces, coordinates }: ContactModes): void {
    const { coefficients: a, velocities: v, forces: p, coordinates: q } = this;
    for (let j = 0; j < p.length; j++) {
      p[j] = modalForces[j]!;
      q[j] = coordinates[j]!;
      v[j]! += a[linearCoefficients * j + 7]! * p[j]!;
    }
  }
}
