import { blockSteps, seam } from '../arithmetic/block-size.js';
import { coefficientsPerMode } from '../arithmetic/recurrence.js';
import { firstFrom } from './crossings.js';
import { type ForceBreaks, jumpShape, kinkShape } from './force-breaks.js';

/** An axle on a break. */
export interface BreakCrossing {
  /** Interval between steps of the block that it falls into, and the share of it that is over then. */
  readonly interval: number;
  readonly share: number;
  readonly load: number;
  /** Of the break. */
  readonly index: number;
}

/** Where among the block's columns the crossing stands, between two. */
export function columnOf({ interval, share }: BreakCrossing): number {
  return interval + share + seam - 1;
}

/** What ModalBlock adds to smooth forces where axles cross the breaks of the line. */
export class BreakForces {
  private readonly count: number;
  /** breaks x samples: sums over axles of load times the shapes of a unit jump and a unit kink. */
  private readonly jumpLoads: Float64Array;
  private readonly kinkLoads: Float64Array;
  /** Breaks with an axle just beyond them in this block. */
  private readonly acting: Uint8Array;
  /** Sum of the loads that stand within a break's reach at once, at most. */
  private readonly mostLoad: number;
  /** Axles that cross a break in or near this block. */
  readonly crossings: BreakCrossing[] = [];

  /**
   * @param shifts of the axles behind the head, m
   * @param move of the train in a step, m
   * @param samples force samples of a block: the first a step before its start, the last a step after its end
   */
  constructor(
    readonly breaks: ForceBreaks,
    private readonly shifts: Float64Array,
    private readonly loads: Float64Array,
    private readonly move: number,
    private readonly timeStep: number,
    private readonly samples: number,
  ) {
    this.count = breaks.positions.length;
    this.jumpLoads = new Float64Array(this.count * samples);
    this.kinkLoads = new Float64Array(this.count * samples);
    this.acting = new Uint8Array(this.count);
    let most = 0;
    for (let first = 0; first < shifts.length; first++) {
      let sum = 0;
      for (let k = first; k < shifts.length && shifts[k]! - shifts[first]! <= breaks.reach; k++)
        sum += loads[k]!;
      most = Math.max(most, sum);
    }
    this.mostLoad = most;
  }

  /** Prepares the block that starts at step `done`. */
  prepare(done: number): void {
    const { breaks, shifts, loads, move, samples, jumpLoads, kinkLoads, crossings } = this;
    const { positions, reach } = breaks;
    jumpLoads.fill(0);
    kinkLoads.fill(0);
    this.acting.fill(0);
    crossings.length = 0;
    for (let index = 0; index < positions.length; index++) {
      for (let axle = 0; axle < shifts.length; axle++) {
        // In steps from the block's first force sample, which is step done - 1.
        const at = (positions[index]! + shifts[axle]!) / move - (done - 1);
        if (at > samples || at + reach / move < 0) continue;
        this.acting[index] = 1;
        const load = loads[axle]!;
        const base = index * samples;
        for (let b = Math.max(0, Math.ceil(at)); b < samples; b++) {
          const beyond = (b - at) * move;
          if (beyond >= reach) break;
          jumpLoads[base + b]! += load * jumpShape(beyond, reach);
          kinkLoads[base + b]! += load * kinkShape(beyond, reach);
        }
        if (at < -3) continue;
        const whole = Math.floor(at);
        crossings.push({ interval: whole - 1, share: at - whole, load, index });
      }
    }
  }

  /** Load times the shape of a unit jump, summed over the axles just beyond a break, with the head at a place (m). */
  jumpLoadAt(index: number, head: number): number {
    const { breaks, shifts, loads } = this;
    const from = head - breaks.positions[index]!;
    let sum = 0;
    for (let axle = firstFrom(shifts, from - breaks.reach); axle < shifts.length; axle++) {
      const beyond = from - shifts[axle]!;
      if (beyond < 0) break;
      sum += loads[axle]! * jumpShape(beyond, breaks.reach);
    }
    return sum;
  }

  /** Bound on jumpLoadAt while the head goes from one place to another. */
  jumpLoadWithin(index: number, from: number, to: number): number {
    const { breaks, shifts } = this;
    const place = breaks.positions[index]!;
    const axle = firstFrom(shifts, from - place - breaks.reach);
    return axle < shifts.length && shifts[axle]! <= to - place ? this.mostLoad : 0;
  }

  /**
   * Adds what the breaks do to a mode's forces at the block's samples.
   *
   * @param which 0 or 1: the place of the mode in its pair, whose forces stand in turn
   */
  addForces(mode: number, forces: Float64Array, which: 0 | 1): void {
    const { breaks, count, samples, jumpLoads, kinkLoads } = this;
    for (let index = 0; index < count; index++) {
      if (this.acting[index] === 0) continue;
      const jump = breaks.jumps[mode * count + index]!;
      const slope = breaks.slopes[mode * count + index]!;
      if (jump === 0 && slope === 0) continue;
      const base = index * samples;
      for (let b = 0; b < samples; b++)
        forces[2 * b + which]! += jump * jumpLoads[base + b]! + slope * kinkLoads[base + b]!;
    }
  }

  /**
   * Adds to `added`, which a pair of modes has (see ModePair), in the steps whose cubic reaches across a crossing: the exact answer to the
   * broken force less what the cubic through its samples makes of it.
   *
   * @param which 0 or 1: the place of the mode in its pair
   * @returns whether there is anything to add
   */
  correct(
    mode: number,
    w: number,
    z: number,
    coefficients: Float64Array,
    added: Float64Array,
    which: 0 | 1,
  ): boolean {
    const { breaks, count, crossings, move, samples, timeStep } = this;
    if (crossings.length === 0) return false;
    const a = mode * coefficientsPerMode;
    const toG = which * 2 * blockSteps;
    const toU = toG + blockSteps;
    let any = false;
    for (let n = 0; n < crossings.length; n++) {
      const { interval, share, load, index } = crossings[n]!;
      const jump = load * breaks.jumps[mode * count + index]!;
      const slope = load * breaks.slopes[mode * count + index]! * move;
      if (jump === 0 && slope === 0) continue;
      any = true;
      for (let step = Math.max(0, interval - 2); step <= Math.min(samples - 4, interval + 2); step++) {
        let g = 0;
        let u = 0;
        for (let sample = 0; sample < 4; sample++) {
          // Steps from the crossing to the sample: the force there is 0 before it, jump + slope since beyond.
          const since = step + sample - 1 - (interval + share);
          const value = jump + slope * since;
          const cubic = since >= 0 ? value : 0;
          const exact = step > interval ? value : 0;
          g += coefficients[a + 2 + sample]! * (exact - cubic);
          u += coefficients[a + 8 + sample]! * (exact - cubic);
        }
        if (step === interval) {
          const left = (1 - share) * timeStep;
          const angle = w * left;
          const root = Math.sqrt(1 - z * z);
          const decay = Math.exp(-z * angle);
          const sine = (decay * Math.sin(root * angle)) / root;
          const cosine = decay * Math.cos(root * angle);
          const a11 = cosine + z * sine;
          const a22 = cosine - z * sine;
          const rise = slope * (1 - share);
          g += jump * (1 - a11);
          u += jump * sine;
          if (angle > 1e-6) {
            g += rise * (1 - (sine - 2 * z * (a11 - 1)) / angle);
            u += (rise * (1 - a22 - 2 * z * sine)) / angle;
          }
        }
        added[toG + step]! += g;
        added[toU + step]! += u;
      }
    }
    return any;
  }
}
