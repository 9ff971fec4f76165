import type { ContactModes } from '../arithmetic/contact-modes.js';
import type { Consist } from './consist.js';
import type { ImplicitStep } from './implicit-step.js';
import type { ModalYield } from './modal-yield.js';
import type { RunningLine } from './running-line.js';
import { sinkingShares } from './sinking-shares.js';
import { WheelNeighbours } from './wheel-neighbours.js';

/** Share of the mean wheel load. What is left after a change of this size is a twentieth of it where modes yield as a track's do. */
const forceTolerance = 1e-5;

/**
 * The contact of every wheel with what it runs on:
 *
 *     F / k_H + s = Q / k_H + s_0 + u_wheel - sum of phi_j(x) q_j - r(x),   F >= 0,   s + tau s' = c(x) F + sum of c(x, x_i) F_i,
 *
 * with k_H the contact spring, s the sinking into the line beyond the modes, c(x) its residual compliance, that between the
 * wheel and those near it in the sum, tau its lag, s_0 the sinking of the train at rest on the ground, r the unloaded rail; s moves
 * exactly for forces linear over the step.
 */
export class WheelContact {
  /** Contact force of each wheel, compression positive. */
  readonly forces: Float64Array;
  /** Contact forces beyond the static loads. */
  readonly surplus: Float64Array;
  /** Per wheel, 0 where it is on the ground at the end of the step. */
  readonly onLine: Uint8Array;
  /** N: forces that change by no more have settled. */
  readonly tolerance: number;
  private readonly loads: Float64Array;
  private readonly hertz: Float64Array;
  /** Sinking at rest on the ground. */
  private readonly atRest: Float64Array;
  private readonly neighbours: WheelNeighbours;
  /** Sinking that the forces at the start of the step would come to. */
  private readonly pressed: Float64Array;
  private readonly compliance: Float64Array;
  private readonly level: Float64Array;
  /** Forces at the start of the step. */
  private readonly before: Float64Array;
  /** Sinking at the end of the step, and what of it the force at the end of the step does not change. */
  private readonly sinking: Float64Array;
  private readonly sunk: Float64Array;
  /** Shares in the sinking at the end of a step: of itself, and of compliance times force at the end and at the start. */
  private readonly kept: number;
  private readonly followed: number;
  private readonly followedBefore: number;

  constructor(line: RunningLine, consist: Consist, timeStep: number) {
    const { wheels } = consist;
    this.loads = Float64Array.from(wheels, ({ load }) => load);
    this.hertz = Float64Array.from(wheels, ({ stiffness }) => 1 / stiffness);
    this.forces = Float64Array.from(this.loads);
    this.before = Float64Array.from(this.loads);
    this.surplus = new Float64Array(wheels.length);
    this.onLine = new Uint8Array(wheels.length);
    this.compliance = new Float64Array(wheels.length).fill(line.ground);
    this.level = new Float64Array(wheels.length);
    this.neighbours = new WheelNeighbours(line, consist);
    this.atRest = Float64Array.from(
      this.loads,
      (load, wheel) => load * line.ground + this.neighbours.sinkingUnder(this.loads, wheel),
    );
    this.pressed = Float64Array.from(this.atRest);
    this.sinking = Float64Array.from(this.atRest);
    this.sunk = new Float64Array(wheels.length);
    const { kept, followed, followedBefore } = sinkingShares(line.relaxation, timeStep);
    this.kept = kept;
    this.followed = followed;
    this.followedBefore = followedBefore;
    this.tolerance = (forceTolerance * this.loads.reduce((sum, load) => sum + load, 0)) / wheels.length;
  }

  /**
   * Puts a wheel where it is at the end of the step; its force is guessed from the two before.
   *
   * @param compliance m/N, of what it then stands on
   * @param level m, of the unloaded rail under it
   */
  place(wheel: number, onLine: boolean, compliance: number, level: number): void {
    const { forces, before } = this;
    this.onLine[wheel] = onLine ? 1 : 0;
    this.sunk[wheel] = this.kept * this.sinking[wheel]! + this.followedBefore * this.pressed[wheel]!;
    this.compliance[wheel] = compliance;
    this.level[wheel] = level;
    const next = Math.max(0, 2 * forces[wheel]! - before[wheel]!);
    before[wheel] = forces[wheel]!;
    forces[wheel] = next;
    this.surplus[wheel] = next - this.loads[wheel]!;
  }

  /** Puts wheels near each other where the leading one is at the end of the step. */
  placePairs(positions: Float64Array): void {
    this.neighbours.place(positions);
  }

  /** Back to the forces at the start of the step. */
  restart(): void {
    const { forces, surplus, loads, before } = this;
    for (let wheel = 0; wheel < forces.length; wheel++) {
      forces[wheel] = before[wheel]!;
      surplus[wheel] = before[wheel]! - loads[wheel]!;
    }
  }

  /** The modes under the forces as they are; deflections stay as they were. */
  press(modes: ContactModes): void {
    for (let wheel = 0; wheel < this.forces.length; wheel++)
      modes.forces[wheel] = this.onLine[wheel] ? this.forces[wheel]! : 0;
    modes.respond();
  }

  /**
   * One Gauss-Seidel sweep over the wheels: new forces from the modes and from each other; the largest change.
   *
   * @param yielding absent: the deflections stay as they are during the sweep; otherwise they follow every force
   */
  sweep(
    components: readonly ImplicitStep[],
    { deflections }: ContactModes,
    yielding: ModalYield | null = null,
  ): number {
    const { forces, surplus, loads, hertz, compliance, level, atRest, neighbours, onLine } = this;
    let most = 0;
    for (const { component, freeWheel, receptance } of components) {
      const { wheels } = component;
      const count = wheels.length;
      for (let k = 0; k < count; k++) {
        const wheel = wheels[k]!;
        const load = loads[wheel]!;
        let moved = freeWheel[k]!;
        const row = k * count;
        for (let other = 0; other < count; other++) {
          if (other !== k) moved -= receptance[row + other]! * surplus[wheels[other]!]!;
        }
        const own = receptance[row + k]!;
        const static_ = load * (hertz[wheel]! + own) + atRest[wheel]!;
        const beside = this.followed * neighbours.sinkingUnder(forces, wheel);
        const yields = yielding ? yielding.own(wheel) : 0;
        const soft = hertz[wheel]! + this.followed * compliance[wheel]! + own + yields;
        const deflection = onLine[wheel] ? deflections[wheel]! - yields * forces[wheel]! : 0;
        const pressed = static_ + moved - deflection - level[wheel]! - this.sunk[wheel]! - beside;
        const force = Math.max(0, pressed / soft);
        const change = Math.abs(force - forces[wheel]!);
        if (change > most) most = change;
        if (yielding) yielding.follow(deflections, wheel, force - forces[wheel]!);
        forces[wheel] = force;
        surplus[wheel] = force - load;
      }
    }
    return most;
  }

  /** The wheels sink as the forces found ask for. */
  sink(): void {
    for (let wheel = 0; wheel < this.sinking.length; wheel++) {
      const own = this.compliance[wheel]! * this.forces[wheel]!;
      this.pressed[wheel] = own + this.neighbours.sinkingUnder(this.forces, wheel);
      this.sinking[wheel] = this.sunk[wheel]! + this.followed * this.pressed[wheel]!;
    }
  }
}
