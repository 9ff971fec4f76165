import { weightingWb, weightingWk } from '../../solver/comfort/frequency-weighting.js';
import { largestWindowRms, weightedHistories } from '../../solver/comfort/weighted-rms.js';
import { isAbove } from '../../solver/peaks/ties.js';
import type { Consist } from '../../solver/vehicle/consist.js';
import type { Extreme, Ride } from '../../solver/vehicle/ride.js';

/** A value with the place on the line (null where a whole stretch makes it) and in the train. */
export interface RideValue {
  readonly value: number;
  readonly at: number | null;
  readonly where: string;
}

/** What a train of vehicles went through, in the units of its checks. */
export interface RideOutcome {
  /** Share of the static load, 0 to 1. */
  readonly wheelUnloading: RideValue;
  /** Null where nobody rides. */
  readonly comfort: {
    /** m/s2 */
    readonly bodyAcceleration: RideValue;
    /** m/s2, Wk (ISO 2631-1). */
    readonly weighted: RideValue;
    /** m/s2, Wb (EN 12299, continuous comfort). */
    readonly continuous: RideValue;
  } | null;
}

/** s: window of EN 12299 (mem), used for both weightings. */
const comfortWindow = 5;

/** @param xAt place of a sample number of the running line */
export function rideOutcome(consist: Consist, ride: Ride, xAt: (sample: number) => number): RideOutcome {
  const least = worst(ride.smallestLoads.map(({ value, place }) => ({ value: 1 - value, place })));
  return {
    wheelUnloading: {
      value: least.extreme.value,
      at: xAt(least.extreme.place),
      where: `wheelset ${least.index + 1} of the train`,
    },
    comfort: consist.floor.length > 0 ? comfortOf(consist, ride, xAt) : null,
  };
}

function comfortOf(consist: Consist, ride: Ride, xAt: (sample: number) => number): RideOutcome['comfort'] {
  const peak = worst(ride.floorPeaks);
  const rms = (weighting: typeof weightingWk): RideValue => {
    const values = weightedHistories(ride.floorHistories, ride.interval, weighting).map((history) => ({
      value: largestWindowRms(history, ride.interval, comfortWindow),
      place: 0,
    }));
    const { extreme, index } = worst(values);
    return { value: extreme.value, at: null, where: consist.floor[index]!.name };
  };
  return {
    bodyAcceleration: {
      value: peak.extreme.value,
      at: xAt(peak.extreme.place),
      where: consist.floor[peak.index]!.name,
    },
    weighted: rms(weightingWk),
    continuous: rms(weightingWb),
  };
}

function worst(extremes: readonly Extreme[]): { readonly extreme: Extreme; readonly index: number } {
  let index = 0;
  extremes.forEach(({ value }, k) => {
    if (isAbove(value, extremes[index]!.value)) index = k;
  });
  return { extreme: extremes[index]!, index };
}

/** The worse of two rides of the same train, value by value. */
export function worseRide(a: RideOutcome, b: RideOutcome): RideOutcome {
  const worse = (one: RideValue, other: RideValue) => (isAbove(other.value, one.value) ? other : one);
  return {
    wheelUnloading: worse(a.wheelUnloading, b.wheelUnloading),
    comfort:
      a.comfort && b.comfort
        ? {
            bodyAcceleration: worse(a.comfort.bodyAcceleration, b.comfort.bodyAcceleration),
            weighted: worse(a.comfort.weighted, b.comfort.weighted),
            continuous: worse(a.comfort.continuous, b.comfort.continuous),
          }
        : null,
  };
}

/** Keys of the result's sweep. */
export function rideQuantities({ wheelUnloading, comfort }: RideOutcome): Readonly<Record<string, number>> {
  return {
    wheel_unloading: wheelUnloading.value,
    ...(comfort
      ? {
          body_acceleration_m_per_s2: comfort.bodyAcceleration.value,
          ride_comfort_m_per_s2: comfort.weighted.value,
          continuous_comfort_m_per_s2: comfort.continuous.value,
        }
      : {}),
  };
}
