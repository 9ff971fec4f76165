import { type ContactModes, contactModes } from '../arithmetic/contact-modes.js';
import type { DynamicModel } from '../dynamic-model/dynamic-model.js';
import type { Consist } from './consist.js';
import { ImplicitStep } from './implicit-step.js';
import { linearCoefficients, linearRecurrence } from './linear-recurrence.js';
import type { RunningLine } from './running-line.js';
import { smoothlyBetween } from './smooth-interpolation.js';
import type { VehicleSystem } from './vehicle-system.js';

/** Contact forces and deflections of one step did not agree within the iterations allowed. */
export class ContactConvergenceError extends Error {
  readonly iterations: number;
  readonly residual: number;
  readonly tolerance: number;
  constructor(iterations: number, residual: number, tolerance: number) {
    super(
      `wheel forces did not settle within ${iterations} iterations of a time step (last change ${residual} N, tolerance ${tolerance} N): take a smaller time step`,
    );
    this.name = 'ContactConvergenceError';
    this.iterations = iterations;
    this.residual = residual;
    this.tolerance = tolerance;
  }
}

/** m over which the irregularity rises under a train that starts: one period of its slowest motion, 10 m at a creep. */
export function risingDistance(system: VehicleSystem, speed: number): number {
  return Math.max(10, speed / system.slowestFrequency);
}

const mostIterations = 60;
/** Cheap, since they no longer go through the modes: fewer than a thousand settle four cars on 90 m of hanging rail. */
const mostSweeps = 4000;
/** Share of the mean wheel load. What is left after a change of this size is of its order or smaller. */
const forceTolerance = 1e-7;

/**
 * Train and structure together, step by step. Modes move by the exact recurrence for a modal force linear over the step, vehicles by
 * the implicit method of `ImplicitStep`, and the wheel forces at the end of the step are iterated (Gauss-Seidel over the wheels, then the
 * modes) until both sides agree:
 *
 *     F / k_H + s = Q (1 / k_H + c_0) + u_wheel - sum of phi_j(x) q_j - r(x),   F >= 0,   s + tau s' = c(x) F,
 *
 * with k_H the contact spring, s the sinking into the line beyond the modes, c(x) its residual compliance and tau its lag, c_0
 * the compliance of the ground, r the unloaded rail; s moves exactly for a force linear over the step. A wheel that comes
 * onto or leaves the line within a step contributes to the modal force over its own part of the step: the value at
 * the start is chosen so that the impulse of the step is right, which keeps the scheme of second order.
 *
 * Where the modes give way more than wheel and contact together (a creep over rails that nothing holds), forces and modes answering each
 * other settle slowly or not at all. Such a step is begun again with what the modes yield under the wheels, a matrix of wheels by
 * wheels, within the Gauss-Seidel sweep. The matrix of all compliances is symmetric and positive, so that this always settles: C. W.
 * Cryer, SIAM Journal on Control 9, 1971 (mem), of which it is the case without over-relaxation.
 *
 * Contact as in Y. B. Yang, J. D. Yau and Y. S. Wu, Vehicle-Bridge Interaction Dynamics (2004), chapter 6 (mem), iterated instead of
 * condensed.
 */
export class CoupledRun {
  readonly timeStep: number;
  readonly components: readonly ImplicitStep[];
  readonly coordinates: Float64Array;
  readonly velocities: Float64Array;
  /** Modal forces at the end of the last step. */
  readonly modalForces: Float64Array;
  /** Contact force of each wheel, compression positive. */
  readonly contactForces: Float64Array;
  /** Sample number of each wheel on the running line; outside [0, count - 1] it is on the ground. */
  readonly positions: Float64Array;
  /** Iterations of the last step. */
  iterations = 0;

  private readonly line: RunningLine;
  private readonly coefficients: Float64Array;
  private readonly loads: Float64Array;
  private readonly hertz: Float64Array;
  private readonly travel: number;
  private readonly tolerance: number;
  private readonly start: Float64Array;
  private readonly onLine: Uint8Array;
  private readonly compliance: Float64Array;
  /** Sinking at the end of the step, and what of it the force at the end of the step does not change. */
  private readonly sinking: Float64Array;
  private readonly sunk: Float64Array;
  /** Shares in the sinking at the end of a step: of itself, and of compliance times force at the end and at the start. */
  private readonly kept: number;
  private readonly followed: number;
  private readonly followedBefore: number;
  private readonly level: Float64Array;
  private readonly surplus: Float64Array;
  private readonly before: Float64Array;
  /** wheels x wheels, once it is needed: deflection under one wheel, by the modes, per force of another at the end of the step. */
  private yielding: Float64Array | null = null;
  /** Share of the line's profile that has risen under the train so far, and what each step adds. */
  private risen: number;
  private readonly rise: number;

  /**
   * On a line with irregularities the profile rises under the train from nothing, over `risingDistance`.
   *
   * @param quasiStatic modes follow their forces at once, for the limit v -> 0
   * @param head sample number of the leading wheel at the start, at or before the line
   * @param speed m/s
   */
  constructor(
    model: DynamicModel,
    line: RunningLine,
    consist: Consist,
    system: VehicleSystem,
    speed: number,
    timeStep: number,
    head = 0,
    quasiStatic = false,
  ) {
    const modeCount = line.modeCount;
    const wheels = consist.wheels.length;
    this.line = line;
    this.timeStep = timeStep;
    this.travel = (speed * timeStep) / line.step;
    this.components = system.components.map((component) => new ImplicitStep(component, timeStep));
    this.coefficients = new Float64Array(linearCoefficients * modeCount);
    model.modes.angularFrequencies.forEach((omega, mode) => {
      const offset = linearCoefficients * mode;
      if (quasiStatic) this.coefficients[offset + 3] = 1 / (omega * omega);
      else linearRecurrence(omega, model.dampingRatios[mode]!, timeStep, this.coefficients, offset);
    });
    this.coordinates = new Float64Array(modeCount);
    this.velocities = new Float64Array(modeCount);
    this.modalForces = new Float64Array(modeCount);
    this.start = new Float64Array(modeCount);
    this.loads = Float64Array.from(consist.wheels, ({ load }) => load);
    this.hertz = Float64Array.from(consist.wheels, ({ stiffness }) => 1 / stiffness);
    this.contactForces = Float64Array.from(this.loads);
    this.before = Float64Array.from(this.loads);
    this.positions = Float64Array.from(consist.wheels, ({ position }) => head - position / line.step);
    this.onLine = new Uint8Array(wheels);
    this.compliance = new Float64Array(wheels).fill(line.ground);
    this.sinking = Float64Array.from(this.loads, (load) => load * line.ground);
    this.sunk = new Float64Array(wheels);
    const ratio = line.relaxation / timeStep;
    this.kept = ratio > 0 ? Math.exp(-1 / ratio) : 0;
    const late = (1 - this.kept) * ratio;
    this.followed = 1 - late;
    this.followedBefore = late - this.kept;
    this.level = new Float64Array(wheels);
    this.surplus = new Float64Array(wheels);
    const rising = line.settling ? risingDistance(system, quasiStatic ? 0 : speed) / line.step : 0;
    this.risen = rising > 0 ? 0 : 1;
    this.rise = rising > 0 ? this.travel / rising : 0;
    this.tolerance = (forceTolerance * this.loads.reduce((sum, load) => sum + load, 0)) / wheels;
  }

  /** Moves everything on by one time step. @throws ContactConvergenceError */
  step(): void {
    for (const component of this.components) component.predict();
    this.start.set(this.modalForces);
    const modes = contactModes(this.coordinates.length, this.positions.length);
    this.moveWheels(modes);
    this.predictModes(modes);
    let change = 0;
    for (this.iterations = 1; this.iterations <= mostIterations; this.iterations++) {
      this.updateModes(modes);
      change = this.updateForces(modes);
      if (change <= this.tolerance) break;
    }
    if (!(change <= this.tolerance)) this.settleTogether(modes);
    this.updateModes(modes);
    this.finishModes(modes);
    for (const component of this.components) component.correct(this.surplus);
    for (let wheel = 0; wheel < this.sinking.length; wheel++) {
      const follows = this.followed * this.compliance[wheel]! * this.contactForces[wheel]!;
      this.sinking[wheel] = this.sunk[wheel]! + follows;
    }
  }

  /** Wheels to the end of the step; those that pass an end of the line correct the modal force at the start of the step. */
  private moveWheels(modes: ContactModes): void {
    const { line, positions, contactForces, onLine, before, loads } = this;
    const last = line.count - 1;
    this.risen = Math.min(1, this.risen + this.rise);
    const share = this.risen * this.risen * (3 - 2 * this.risen);
    for (let wheel = 0; wheel < positions.length; wheel++) {
      const from = positions[wheel]!;
      const to = from + this.travel;
      positions[wheel] = to;
      if (from < 0 && to >= 0 && to <= last) this.addAtStart(wheel, 0, 1 - (2 * -from) / this.travel);
      else if (from >= 0 && from <= last && to > last)
        this.addAtStart(wheel, last, (2 * (last - from)) / this.travel - 1);
      const inside = to >= 0 && to <= last;
      onLine[wheel] = inside ? 1 : 0;
      this.sunk[wheel] =
        this.kept * this.sinking[wheel]! +
        this.followedBefore * this.compliance[wheel]! * contactForces[wheel]!;
      this.compliance[wheel] = inside ? this.sampleAt(line.residual, to) : line.ground;
      this.level[wheel] = share * this.profileAt(to);
      if (inside) this.takeShapes(modes, wheel, to);
      const next = Math.max(0, 2 * contactForces[wheel]! - before[wheel]!);
      before[wheel] = contactForces[wheel]!;
      contactForces[wheel] = next;
      this.surplus[wheel] = next - loads[wheel]!;
    }
  }

  private addAtStart(wheel: number, sample: number, share: number): void {
    const { modes, modeCount } = this.line;
    const force = share * this.contactForces[wheel]!;
    for (let j = 0; j < modeCount; j++) this.start[j]! += force * modes[sample * modeCount + j]!;
  }

  private takeShapes({ shapes, stride }: ContactModes, wheel: number, position: number): void {
    const { modes, modeCount, count } = this.line;
    const index = Math.min(Math.floor(position), count - 2);
    const fraction = position - index;
    const here = index * modeCount;
    const next = here + modeCount;
    const target = wheel * stride;
    for (let j = 0; j < modeCount; j++) {
      const value = modes[here + j]!;
      shapes[target + j] = value + (modes[next + j]! - value) * fraction;
    }
  }

  private sampleAt(samples: Float64Array, position: number): number {
    const index = Math.min(Math.floor(position), samples.length - 2);
    const value = samples[index]!;
    return value + (samples[index + 1]! - value) * (position - index);
  }

  private profileAt(position: number): number {
    const { profile, profileFirst } = this.line;
    const at = position - profileFirst;
    if (at <= 0) return profile[0]!;
    if (at >= profile.length - 1) return profile[profile.length - 1]!;
    return smoothlyBetween(profile, at);
  }

  /** What the modes do if no force acts at the end of the step. */
  private predictModes({ predicted, follows }: ContactModes): void {
    const { coefficients: a, coordinates: q, velocities: v, start } = this;
    for (let j = 0; j < q.length; j++) {
      const base = linearCoefficients * j;
      predicted[j] = a[base]! * q[j]! + a[base + 1]! * v[j]! + a[base + 2]! * start[j]!;
      follows[j] = a[base + 3]!;
      v[j] = a[base + 4]! * q[j]! + a[base + 5]! * v[j]! + a[base + 6]! * start[j]!;
    }
  }

  private updateModes(modes: ContactModes): void {
    const { contactForces, onLine } = this;
    const { forces } = modes;
    for (let wheel = 0; wheel < forces.length; wheel++)
      forces[wheel] = onLine[wheel] ? contactForces[wheel]! : 0;
    modes.update();
  }

  private finishModes({ modalForces, coordinates }: ContactModes): void {
    const { coefficients: a, velocities: v, modalForces: p, coordinates: q } = this;
    for (let j = 0; j < p.length; j++) {
      p[j] = modalForces[j]!;
      q[j] = coordinates[j]!;
      v[j]! += a[linearCoefficients * j + 7]! * p[j]!;
    }
  }

  /** The step from its beginning, with the modes' share in the sweep. @throws ContactConvergenceError */
  private settleTogether(modes: ContactModes): void {
    const { contactForces, surplus, loads, before } = this;
    for (let wheel = 0; wheel < contactForces.length; wheel++) {
      contactForces[wheel] = before[wheel]!;
      surplus[wheel] = before[wheel]! - loads[wheel]!;
    }
    const yielding = this.yieldUnderWheels(modes);
    this.updateModes(modes);
    let change = 0;
    for (let sweep = 1; sweep <= mostSweeps; sweep++) {
      this.iterations++;
      change = this.updateForces(modes, yielding);
      if (change <= this.tolerance) return;
    }
    throw new ContactConvergenceError(this.iterations, change, this.tolerance);
  }

  private yieldUnderWheels({ shapes, follows, stride }: ContactModes): Float64Array {
    const { onLine } = this;
    const wheels = onLine.length;
    this.yielding ??= new Float64Array(wheels * wheels);
    const { yielding } = this;
    for (let wheel = 0; wheel < wheels; wheel++) {
      for (let other = 0; other <= wheel; other++) {
        let sum = 0;
        if (onLine[wheel] && onLine[other])
          for (let j = 0; j < stride; j++)
            sum += shapes[wheel * stride + j]! * follows[j]! * shapes[other * stride + j]!;
        yielding[wheel * wheels + other] = sum;
        yielding[other * wheels + wheel] = sum;
      }
    }
    return yielding;
  }

  /**
   * New contact forces from the modes and from each other; the largest change.
   *
   * @param yielding absent: the deflections stay as they are during the sweep; otherwise they follow every force
   */
  private updateForces({ deflections }: ContactModes, yielding?: Float64Array): number {
    const { contactForces, surplus, loads, hertz, compliance, level, line, onLine } = this;
    let most = 0;
    for (const { component, freeWheel, receptance } of this.components) {
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
        const static_ = load * (hertz[wheel]! + line.ground + own);
        const yields = yielding ? yielding[wheel * loads.length + wheel]! : 0;
        const soft = hertz[wheel]! + this.followed * compliance[wheel]! + own + yields;
        const deflection = onLine[wheel] ? deflections[wheel]! - yields * contactForces[wheel]! : 0;
        const pressed = static_ + moved - deflection - level[wheel]! - this.sunk[wheel]!;
        const force = Math.max(0, pressed / soft);
        const change = Math.abs(force - contactForces[wheel]!);
        if (change > most) most = change;
        if (yielding) follow(deflections, yielding, wheel, force - contactForces[wheel]!);
        contactForces[wheel] = force;
        surplus[wheel] = force - load;
      }
    }
    return most;
  }
}

/** What the modes yield everywhere when the force of one wheel changes. */
function follow(deflections: Float64Array, yielding: Float64Array, wheel: number, change: number): void {
  const row = wheel * deflections.length;
  for (let other = 0; other < deflections.length; other++)
    deflections[other]! += yielding[row + other]! * change;
}
