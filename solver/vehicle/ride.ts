import type { Consist } from './consist.js';
import type { CoupledRun } from './coupled-run.js';
import type { VehicleSystem } from './vehicle-system.js';

/** Where on the way something happened: a sample number of the running line. */
export interface Extreme {
  readonly value: number;
  readonly place: number;
}

/** What the vehicles went through between entering the line and the end of the run-out. */
export interface Ride {
  /** Per wheel: smallest contact force as a share of the static one, and where. */
  readonly smallestLoads: readonly Extreme[];
  /** Per floor point: largest absolute vertical acceleration, and where the point was. */
  readonly floorPeaks: readonly Extreme[];
  /** Per floor point: acceleration at equal intervals, each the mean over its interval; 0 entries where not asked for. */
  readonly floorHistories: readonly Float64Array[];
  /** s */
  readonly interval: number;
}

/** s: car bodies on their suspensions hardly move above 20 Hz; the mean over 8 ms passes 96 % there. */
const longestInterval = 8e-3;

/** Watches wheels and floors of a run. */
export class RideRecorder {
  private readonly consist: Consist;
  private readonly system: VehicleSystem;
  private readonly places: Float64Array;
  private readonly stride: number;
  private readonly interval: number;
  private readonly smallest: Float64Array;
  private readonly smallestAt: Float64Array;
  private readonly peak: Float64Array;
  private readonly peakAt: Float64Array;
  private readonly sums: Float64Array;
  private readonly histories: number[][];
  private steps = 0;

  constructor(consist: Consist, system: VehicleSystem, timeStep: number, lineStep: number) {
    const points = consist.floor.length;
    this.consist = consist;
    this.system = system;
    this.places = Float64Array.from(consist.floor, ({ position }) => position / lineStep);
    this.stride = Math.max(1, Math.floor(longestInterval / timeStep));
    this.interval = this.stride * timeStep;
    this.smallest = new Float64Array(consist.wheels.length).fill(1);
    this.smallestAt = new Float64Array(consist.wheels.length);
    this.peak = new Float64Array(points);
    this.peakAt = new Float64Array(points);
    this.sums = new Float64Array(points);
    this.histories = consist.floor.map(() => []);
  }

  /** @param counted false while the train is only settling: the histories begin, extremes do not count yet */
  record(run: CoupledRun, counted: boolean): void {
    const head = run.positions[0]!;
    const { wheels } = this.consist;
    for (let wheel = 0; counted && wheel < wheels.length; wheel++) {
      const share = run.contactForces[wheel]! / wheels[wheel]!.load;
      if (share < this.smallest[wheel]!) {
        this.smallest[wheel] = share;
        this.smallestAt[wheel] = run.positions[wheel]!;
      }
    }
    for (let point = 0; point < this.sums.length; point++) {
      const { component, lever } = this.system.floor[point]!;
      const { acceleration } = run.components[component]!;
      let value = acceleration[lever.heave]!;
      if (lever.pitch >= 0) value += lever.arm * acceleration[lever.pitch]!;
      this.sums[point]! += value;
      if (counted && Math.abs(value) > this.peak[point]!) {
        this.peak[point] = Math.abs(value);
        this.peakAt[point] = head - this.places[point]!;
      }
    }
    if (++this.steps % this.stride !== 0) return;
    for (let point = 0; point < this.sums.length; point++) {
      if (counted) this.histories[point]!.push(this.sums[point]! / this.stride);
      this.sums[point] = 0;
    }
  }

  finished(): Ride {
    const extremes = (values: Float64Array, places: Float64Array) =>
      Array.from(values, (value, k): Extreme => ({ value, place: places[k]! }));
    return {
      smallestLoads: extremes(this.smallest, this.smallestAt),
      floorPeaks: extremes(this.peak, this.peakAt),
      floorHistories: this.histories.map((history) => Float64Array.from(history)),
      interval: this.interval,
    };
  }
}
