import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { weightingFactor, weightingWb, weightingWk } from '../../../solver/comfort/frequency-weighting.js';
import type { Consist } from '../../../solver/vehicle/consist.js';
import type { Ride } from '../../../solver/vehicle/ride.js';
import {
  type RideOutcome,
  type RideValue,
  rideOutcome,
  rideQuantities,
  worseRide,
} from '../../../worker/assess/ride-outcome.js';

/** s */
const interval = 8e-3;
/** Hz; Wk and Wb are a quarter apart there. */
const frequency = 2;

const carOf = (floor: readonly string[]): Consist => ({
  bodies: [{ mass: 40e3, pitchInertia: null, position: 0 }],
  suspensions: [],
  wheels: [{ body: 0, position: 0, load: 400e3, stiffness: 1e9 }],
  floor: floor.map((name) => ({ body: 0, position: 0, name })),
});

/** Nothing but the given floor accelerations over 40 s. */
const rideWith = (floors: readonly ((time: number) => number)[]): Ride => ({
  smallestLoads: [{ value: 1, place: 0 }],
  floorPeaks: floors.map(() => ({ value: 0, place: 0 })),
  floorHistories: floors.map((valueAt) =>
    Float64Array.from({ length: 5000 }, (_, k) => valueAt(k * interval)),
  ),
  interval,
});

const sine = (size: number) => (time: number) => size * Math.sin(2 * Math.PI * frequency * time);
/** Comes up over twenty seconds, so that its onset adds nothing to what is steady. */
const swelling = (size: number) => (time: number) =>
  (time < 20 ? Math.sin((Math.PI * time) / 40) ** 2 : 1) * sine(size)(time);
const outcomeOf = (floors: readonly ((time: number) => number)[]) =>
  rideOutcome(carOf(floors.map((_, k) => `floor ${k + 1}`)), rideWith(floors), (sample) => sample);
const steady = (weighting: typeof weightingWk) => weightingFactor(weighting, frequency) / Math.SQRT2;

describe('comfort of a ride', () => {
  it('is weighted by Wk for ride comfort and by Wb for continuous comfort', () => {
    const outcome = outcomeOf([swelling(1)]);
    const { weighted, continuous } = outcome.comfort!;
    // What the onset adds is of the order of 1 / (2 pi f 20 s)^2; the two weightings are a quarter apart.
    const onset = 1 / (2 * Math.PI * frequency * 20) ** 2;
    expect(Math.abs(weighted.value / steady(weightingWk) - 1)).toBeLessThan(onset);
    expect(Math.abs(continuous.value / steady(weightingWb) - 1)).toBeLessThan(onset);
    expect(rideQuantities(outcome)).toMatchObject({
      ride_comfort_m_per_s2: weighted.value,
      continuous_comfort_m_per_s2: continuous.value,
    });
  });

  it('is that of the worst five seconds of the ride', () => {
    // Some five of the ten seconds are steady; over the whole half as much would be left.
    const { weighted, continuous } = outcomeOf([(time) => (time >= 15 && time < 25 ? sine(1)(time) : 0)])
      .comfort!;
    expect(weighted.value).toBeGreaterThan(steady(weightingWk));
    expect(continuous.value).toBeGreaterThan(steady(weightingWb));
  });

  it('is that of the worst place of the train, and names it', () => {
    const { weighted, continuous } = outcomeOf([sine(1), sine(3), sine(2)]).comfort!;
    const alone = outcomeOf([sine(3)]).comfort!;
    expect(weighted).toMatchObject({ at: null, where: 'floor 2' });
    expect(weighted.value / alone.weighted.value).toBeCloseTo(1, 9);
    expect(continuous.where).toBe('floor 2');
  });

  it('is none where nobody rides', () => {
    const outcome = outcomeOf([]);
    expect(outcome.comfort).toBeNull();
    expect(rideQuantities(outcome)).toEqual({ wheel_unloading: 0 });
  });
});

const aValue: fc.Arbitrary<RideValue> = fc.record({
  value: fc.integer({ min: 0, max: 1000 }),
  at: fc.integer(),
  where: fc.string(),
});
const anOutcome = fc.record({
  wheelUnloading: aValue,
  comfort: fc.record({ bodyAcceleration: aValue, weighted: aValue, continuous: aValue }),
});
const valuesOf = ({ wheelUnloading, comfort }: RideOutcome) => [
  wheelUnloading,
  comfort!.bodyAcceleration,
  comfort!.weighted,
  comfort!.continuous,
];

describe('the worse of two rides', () => {
  it('is the larger of every value, with its own place, whichever direction comes first', () => {
    fc.assert(
      fc.property(anOutcome, anOutcome, (a, b) => {
        const [forward, reverse] = [valuesOf(a), valuesOf(b)];
        valuesOf(worseRide(a, b)).forEach((worse, k) => {
          expect(worse).toBe(reverse[k]!.value > forward[k]!.value ? reverse[k] : forward[k]);
        });
        expect(valuesOf(worseRide(b, a)).map(({ value }) => value)).toEqual(
          valuesOf(worseRide(a, b)).map(({ value }) => value),
        );
      }),
    );
  });

  it('has no comfort where nobody rides', () => {
    const freight = outcomeOf([]);
    expect(worseRide(freight, freight)).toEqual(freight);
  });
});
