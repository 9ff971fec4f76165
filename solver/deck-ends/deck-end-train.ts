import type { DynamicModel } from '../dynamic-model/dynamic-model.js';
import type { LineSamples } from '../lines/line-samples.js';
import { superposeAxles } from '../passage/superpose.js';
import type { Direction } from '../passage/train-tables.js';
import type { MovingTrain } from '../viaduct/model.js';
import type { DeckEnd } from './deck-end.js';
import { FasteningConvergenceError, type SeatEquilibrium, solveSeats } from './seat-equilibrium.js';

/** A worst value and where it was found. */
export interface Worst {
  readonly value: number;
  /** m */
  readonly x: number;
}

/** The worst that a train standing anywhere does to one deck end. */
export interface DeckEndResponse {
  readonly end: DeckEnd;
  /** m, rail above its seat. */
  readonly uplift: Worst;
  /** N on a whole pair of seats: what the uplift would take if the fastening were linear; within the linear range the pull itself. */
  readonly pull: Worst;
  /** N on a whole pair of seats, at most the clamping force. */
  readonly heldBy: number;
  /** N on a whole pair of seats. */
  readonly compression: Worst;
  /** Nm: absolute bending of the rail beyond that on a deck that does not move. */
  readonly railBending: Worst;
  /** Seats that the rail has left, in the position where the most have. */
  readonly released: number;
  /** In some position no equilibrium was found: clips that have given way do not hold the rail. */
  readonly unheld: boolean;
  /** m: x of the leading axle where the pull is worst. */
  readonly headX: number;
}

interface Position {
  readonly head: number;
  readonly seats: Float64Array;
  readonly rail: Float64Array;
}

/** Samples of the loaded line by which the governing position is moved, and how often at most. */
const coarse = 4;
const mostMoves = 50;

/**
 * One train in one direction, ready for every deck end: the positions of the train in which the linear structure has its extremes
 * (of each seat, of the rail's bending at each node). From the worst of them the train is moved on for as long as the nonlinear
 * uplift grows.
 */
export class DeckEndTrain {
  private readonly ends: readonly { readonly end: DeckEnd; readonly positions: readonly Position[] }[];
  private readonly model: DynamicModel;
  private readonly direction: Direction;
  private readonly shifts: Float64Array;
  private readonly loads: Float64Array;

  constructor(model: DynamicModel, ends: readonly DeckEnd[], train: MovingTrain, direction: Direction) {
    this.model = model;
    this.direction = direction;
    this.shifts = train.positions.map((position) => position / model.line.step);
    this.loads = train.loads;
    this.ends = ends.map((end) => {
      const heads = new Set<number>();
      for (const line of end.seatLines) for (const head of this.extremes(line)) heads.add(head);
      for (const line of end.railLines) for (const head of this.extremes(line)) heads.add(head);
      return { end, positions: [...heads].map((head) => this.at(end, head)) };
    });
  }

  /**
   * The worst of every deck end, the effect of the wheels multiplied by the end's factor, that of the moved deck not.
   *
   * @param factors one per deck end
   */
  respond(factors: readonly number[]): readonly DeckEndResponse[] {
    return this.ends.map(({ end, positions }, index) => this.respondAt(end, positions, factors[index]!));
  }

  private respondAt(end: DeckEnd, positions: readonly Position[], factor: number): DeckEndResponse {
    const found = new Extremes(end);
    let governing: Position | null = null;
    for (const position of positions)
      if (found.take(position, factor, this.headX(position.head))) governing = position;
    if (!governing) return found.response();
    for (const step of [coarse, -coarse, 1, -1]) {
      let from: Position = governing;
      for (let move = 0; move < mostMoves; move++) {
        const next = this.at(end, from.head + step);
        if (!found.take(next, factor, this.headX(next.head))) break;
        from = next;
      }
      governing = from;
    }
    return found.response();
  }

  /** Head positions, in samples along the way, of the largest and the smallest value under the whole train. */
  private extremes(line: LineSamples): readonly number[] {
    const { first, values } = line;
    if (values.length === 0) return [];
    const own = this.direction === 'forward' ? values : values.slice().reverse();
    const last = Math.ceil(this.shifts[this.shifts.length - 1]!);
    const sums = new Float64Array(own.length + last + 1);
    const { shifts, loads } = this;
    superposeAxles({ samples: own, shifts, loads, interpolation: 'linear' }, sums);
    let high = 0;
    let low = 0;
    for (let k = 0; k < sums.length; k++) {
      if (sums[k]! > sums[high]!) high = k;
      if (sums[k]! < sums[low]!) low = k;
    }
    const start = this.direction === 'forward' ? first : this.model.line.count - first - values.length;
    return [start + high, start + low];
  }

  private at(end: DeckEnd, head: number): Position {
    const value = (line: LineSamples) => this.underTrain(line, head);
    return {
      head,
      seats: Float64Array.from(end.seatLines, value),
      rail: Float64Array.from(end.railLines, value),
    };
  }

  private underTrain({ first, values }: LineSamples, head: number): number {
    const { shifts, loads, direction, model } = this;
    let sum = 0;
    for (let axle = 0; axle < shifts.length; axle++) {
      const along = head - shifts[axle]!;
      const at = (direction === 'forward' ? along : model.line.count - 1 - along) - first;
      const index = Math.floor(at);
      if (index < 0 || index + 1 >= values.length) continue;
      sum += loads[axle]! * (values[index]! + (values[index + 1]! - values[index]!) * (at - index));
    }
    return sum;
  }

  private headX(head: number): number {
    const { line } = this.model;
    return line.from + line.step * (this.direction === 'forward' ? head : line.count - 1 - head);
  }
}

/** Null where there is none to be found. */
function equilibriumOf(...given: Parameters<typeof solveSeats>): SeatEquilibrium | null {
  try {
    return solveSeats(...given);
  } catch (error) {
    if (error instanceof FasteningConvergenceError) return null;
    throw error;
  }
}

/** Collects the worst of every position. */
class Extremes {
  private readonly end: DeckEnd;
  private uplift: Worst;
  private pull: Worst;
  private heldBy = 0;
  private compression: Worst;
  private railBending: Worst;
  private released = 0;
  private unheld = false;
  private headAt: number;
  private readonly laws: readonly DeckEnd['seats'][number]['law'][];

  constructor(end: DeckEnd) {
    const none = { value: 0, x: end.x };
    this.end = end;
    this.laws = end.seats.map(({ law }) => law);
    this.uplift = none;
    this.pull = none;
    this.compression = none;
    this.railBending = none;
    this.headAt = end.x;
  }

  /** Whether the pull grew. */
  take({ seats, rail }: Position, factor: number, headX: number): boolean {
    const { end } = this;
    const linear = seats.map((stretch, s) => factor * stretch + end.seatsMoved[s]!);
    const state = equilibriumOf(linear, end.compliance, this.laws);
    if (!state) {
      this.unheld = true;
      return false;
    }
    this.takeRail(rail, factor, state);
    return this.takeSeats(state, headX);
  }

  response(): DeckEndResponse {
    const { end, uplift, pull, heldBy, compression, railBending, released, unheld, headAt } = this;
    return { end, uplift, pull, heldBy, compression, railBending, released, unheld, headX: headAt };
  }

  private takeSeats({ stretch, force }: SeatEquilibrium, headX: number): boolean {
    let grew = false;
    let released = 0;
    this.end.seats.forEach(({ x, law, pairs }, s) => {
      const pull = (-stretch[s]! * law.stiffness) / pairs;
      if (pull > this.pull.value) {
        this.pull = { value: pull, x };
        this.heldBy = -force[s]! / pairs;
        this.headAt = headX;
        grew = true;
      }
      if (-stretch[s]! > this.uplift.value) this.uplift = { value: -stretch[s]!, x };
      if (force[s]! / pairs > this.compression.value) this.compression = { value: force[s]! / pairs, x };
      if (pull * pairs > law.clampingForce) released++;
    });
    this.released = Math.max(this.released, released);
    return grew;
  }

  private takeRail(rail: Float64Array, factor: number, { correction }: SeatEquilibrium): void {
    const { railX, railMoved, railCompliance } = this.end;
    const seats = correction.length;
    for (let node = 0; node < rail.length; node++) {
      let moment = factor * rail[node]! + railMoved[node]!;
      for (let s = 0; s < seats; s++) moment += railCompliance[node * seats + s]! * correction[s]!;
      if (Math.abs(moment) > this.railBending.value)
        this.railBending = { value: Math.abs(moment), x: railX[node]! };
    }
  }
}
