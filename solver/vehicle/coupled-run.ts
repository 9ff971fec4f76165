import { type ContactModes, contactModes, modeStride } from '../arithmetic/contact-modes.js';
import { ContactConvergenceError } from './contact-convergence-error.js';
import type { CoupledSystem } from './coupled-system.js';
import { ImplicitStep } from './implicit-step.js';
import { profileAt, residualAt, writeShapes } from './line-under-wheel.js';
import { ModalStep } from './modal-step.js';
import { ModalYield } from './modal-yield.js';
import { risingDistance } from './run-up.js';
import type { RunningLine } from './running-line.js';
import { WheelContact } from './wheel-contact.js';

/** How a train moves along its line. */
export interface CoupledMotion {
  /** m/s */
  readonly speed: number;
  /** s */
  readonly timeStep: number;
  /** Sample number of the leading wheel at the start, at or before the line; absent: at its beginning. */
  readonly head?: number;
  /** Modes follow their forces at once, for the limit v -> 0. */
  readonly quasiStatic?: boolean;
}

const mostIterations = 60;
/** Cheap, since they no longer go through the modes: fewer than a thousand settle four cars on 90 m of hanging rail. */
const mostSweeps = 4000;

/**
 * Train and structure together, step by step. Modes move by the exact recurrence of `ModalStep`, vehicles by the implicit method of
 * `ImplicitStep`, and the wheel forces of `WheelContact` at the end of the step are iterated (Gauss-Seidel over the wheels, then the
 * modes) until both sides agree. A wheel that comes onto or leaves the line within a step contributes to the modal force over its own
 * part of the step: the value at the start is chosen so that the impulse of the step is right, which keeps the scheme of second order.
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
  readonly components: readonly ImplicitStep[];
  /** Of the line's modes, of which those of the model come first. */
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
  private readonly modal: ModalStep;
  private readonly contact: WheelContact;
  private readonly travel: number;
  /** Shapes at an end of the line. */
  private readonly atEnd: Float64Array;
  /** Once it is needed. */
  private yielding: ModalYield | null = null;
  /** Share of the line's profile that has risen under the train so far, and what each step adds. */
  private risen: number;
  private readonly rise: number;
  /** m: the profile rises from here, so that neither its datum nor its slope strikes the train that starts. */
  private readonly datum: number;

  /** On a line with irregularities the profile rises under the train from nothing, over `risingDistance`. */
  constructor(
    { line, consist, system }: CoupledSystem,
    { speed, timeStep, head = 0, quasiStatic = false }: CoupledMotion,
  ) {
    this.line = line;
    this.travel = (speed * timeStep) / line.step;
    this.components = system.components.map((component) => new ImplicitStep(component, timeStep));
    this.modal = new ModalStep(line.modes, timeStep, quasiStatic);
    this.coordinates = this.modal.coordinates;
    this.velocities = this.modal.velocities;
    this.modalForces = this.modal.forces;
    this.atEnd = new Float64Array(modeStride(this.coordinates.length));
    this.contact = new WheelContact(line, consist, timeStep);
    this.contactForces = this.contact.forces;
    this.positions = Float64Array.from(consist.wheels, ({ position }) => head - position / line.step);
    const rising = line.settling ? risingDistance(system, quasiStatic ? 0 : speed) / line.step : 0;
    this.risen = rising > 0 ? 0 : 1;
    this.rise = rising > 0 ? this.travel / rising : 0;
    const sum = this.positions.reduce((levels, position) => levels + profileAt(line, position), 0);
    this.datum = rising > 0 ? sum / this.positions.length : 0;
  }

  /** Moves everything on by one time step. @throws ContactConvergenceError */
  step(): void {
    const { components, modal, contact } = this;
    for (const component of components) component.predict();
    modal.begin();
    const modes = contactModes(this.coordinates.length, this.positions.length, this.line.modes.shapes.table);
    this.moveWheels(modes);
    modal.predict(modes);
    this.settle(modes);
    contact.press(modes);
    modal.finish(modes);
    for (const component of components) component.correct(contact.surplus);
    contact.sink();
  }

  /** Wheels to the end of the step; those that pass an end of the line correct the modal force at the start of the step. */
  private moveWheels(modes: ContactModes): void {
    const { line, positions, contact } = this;
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
      const compliance = inside ? residualAt(line, to) : line.ground;
      contact.place(wheel, inside, compliance, share * (profileAt(line, to) - this.datum));
      if (inside) line.modes.shapes.place(line.alongDeck(to), modes, wheel);
    }
    contact.placePairs(positions);
  }

  private addAtStart(wheel: number, sample: number, share: number): void {
    const { start } = this.modal;
    const force = share * this.contactForces[wheel]!;
    writeShapes(this.line, sample, this.atEnd);
    for (let j = 0; j < start.length; j++) start[j]! += force * this.atEnd[j]!;
  }

  /** Forces and modes answer each other until both agree. @throws ContactConvergenceError */
  private settle(modes: ContactModes): void {
    const { components, contact } = this;
    for (this.iterations = 1; this.iterations <= mostIterations; this.iterations++) {
      contact.press(modes);
      modes.deflect();
      if (contact.sweep(components, modes) <= contact.tolerance) return;
    }
    this.settleTogether(modes);
  }

  /** The step from its beginning, with the modes' share in the sweep. @throws ContactConvergenceError */
  private settleTogether(modes: ContactModes): void {
    const { components, contact } = this;
    contact.restart();
    this.yielding ??= new ModalYield(this.positions.length);
    this.yielding.take(modes, contact.onLine);
    contact.press(modes);
    modes.deflect();
    let change = 0;
    for (let sweep = 1; sweep <= mostSweeps; sweep++) {
      this.iterations++;
      change = contact.sweep(components, modes, this.yielding);
      if (change <= contact.tolerance) return;
    }
    throw new ContactConvergenceError(this.iterations, change, contact.tolerance);
  }
}
