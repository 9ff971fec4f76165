import { describe, expect, it } from 'vitest';
import { libraryVehicles } from '../../../scenarios/library/vehicles.js';
import { readScenario } from '../../../scenarios/read-scenario.js';
import { translateScenario } from '../../../scenarios/translate.js';
import { minimalScenario } from './minimal-scenario.js';
import { readValid } from './read-valid.js';

const own = libraryVehicles['multiple-unit-car'].parameters;
const withTrain = (train: object) => ({ ...minimalScenario(), trains: [train] });
const codesOf = (train: object) => {
  const reading = readScenario(JSON.stringify(withTrain(train)));
  return reading.ok ? [] : reading.faults.map(({ code, pointer }) => `${pointer} ${code}`);
};

describe('vehicles in a scenario', () => {
  it('become wheelsets with their static loads', () => {
    const vehicles = [{ vehicle: 'locomotive' }, { vehicle: 'bogie-wagon-loaded', count: 2 }];
    const model = translateScenario(readValid(withTrain({ id: 'stone', class: 'freight', vehicles })));
    const entry = model.trains[0];
    if (entry?.kind !== 'moving') throw new Error('a moving train');
    expect(entry.train.loads).toHaveLength(12);
    expect(entry.train.loads[0]! / 9.81e3).toBeCloseTo(21.5, 6);
    expect(entry.train.loads[4]! / 9.81e3).toBeCloseTo(22.5, 6);
    expect(entry.consist?.floor).toEqual([]);
  });

  it('share bogies with the same neighbour when the train is turned', () => {
    const vehicles = [
      { bogie_vehicle: { ...own, shares_bogie_with_next: true } },
      { bogie_vehicle: own },
      { vehicle: 'locomotive' },
    ];
    const positions = (reverse: boolean) => {
      const [entry] = translateScenario(readValid(withTrain({ id: 'x', vehicles, reverse }))).trains;
      return entry?.kind === 'moving' ? [...entry.train.positions] : [];
    };
    const there = positions(false);
    const length = there[there.length - 1]!;
    const back = positions(true);
    expect(back).toHaveLength(there.length);
    back.forEach((at, k) => {
      expect(at).toBeCloseTo(length - there[there.length - 1 - k]!, 9);
    });
  });

  it('keep the bogie that they share when the train is turned', () => {
    const vehicles = [
      { bogie_vehicle: { ...own, shares_bogie_with_next: true } },
      { bogie_vehicle: { ...own, bogie_mass_kg: 7000, wheelset_mass_kg: 3000, bogie_wheelbase_m: 3 } },
    ];
    const wheels = (reverse: boolean) => {
      const [entry] = translateScenario(readValid(withTrain({ id: 'x', vehicles, reverse }))).trains;
      if (entry?.kind !== 'moving' || !entry.consist) throw new Error('a train of vehicles');
      const { consist } = entry;
      return consist.wheels.map(({ body, position, load }) => ({
        position,
        load,
        mass: consist.bodies[body]!.mass,
      }));
    };
    const there = wheels(false);
    // Six wheelsets: the shared bogie is the first vehicle's.
    expect(there.map(({ mass }) => mass)).toEqual([1500, 1500, 1500, 1500, 3000, 3000]);
    const back = wheels(true).reverse();
    const length = there[5]!.position;
    there.forEach(({ position, load, mass }, k) => {
      expect(back[k]!.position).toBeCloseTo(length - position, 9);
      expect(back[k]!.load).toBeCloseTo(load, 6);
      expect(back[k]!.mass).toBe(mass);
    });
  });

  it('need a name for their train and exactly one kind each', () => {
    expect(codesOf({ vehicles: [{ vehicle: 'locomotive' }] })).toEqual(['/trains/0/id missing-key']);
    expect(codesOf({ id: 'x', vehicles: [{ count: 2 }] })).toEqual(['/trains/0/vehicles/0 exactly-one']);
    expect(codesOf({ id: 'x', load_model: 'HSLM-A1', vehicles: [{ vehicle: 'locomotive' }] })).toEqual([
      '/trains/0 exactly-one',
    ]);
  });

  it('end over the middle of bogies that they share at both ends, and nowhere else', () => {
    const end = { ...own, shares_bogie_with_next: true };
    const middle = { ...end, length_m: 18, bogie_distance_m: 18 };
    const train = (...cars: object[]) => ({
      id: 'x',
      vehicles: cars.map((bogie_vehicle) => ({ bogie_vehicle })),
    });
    expect(codesOf(train(end, middle, middle, own))).toEqual([]);
    expect(codesOf(train(end, { ...middle, bogie_distance_m: 18.1 }, own))).toEqual([
      '/trains/0/vehicles/1/bogie_vehicle/bogie_distance_m implausible',
    ]);
    expect(codesOf(train(middle, own))).toEqual([
      '/trains/0/vehicles/0/bogie_vehicle/bogie_distance_m implausible',
    ]);
    expect(codesOf(train(end, { ...middle, shares_bogie_with_next: false }))).toEqual([
      '/trains/0/vehicles/1/bogie_vehicle/bogie_distance_m implausible',
    ]);
  });

  it('cannot share a bogie with nobody, be longer than they are, or be more than a hundred', () => {
    const shared = { ...own, shares_bogie_with_next: true };
    expect(codesOf({ id: 'x', vehicles: [{ bogie_vehicle: shared }] })).toEqual([
      '/trains/0/vehicles/0/bogie_vehicle/shares_bogie_with_next not-applicable',
    ]);
    expect(codesOf({ id: 'x', vehicles: [{ bogie_vehicle: { ...own, bogie_distance_m: 24 } }] })).toEqual([
      '/trains/0/vehicles/0/bogie_vehicle/bogie_distance_m implausible',
    ]);
    expect(
      codesOf({
        id: 'x',
        vehicles: [
          { vehicle: 'locomotive', count: 60 },
          { vehicle: 'locomotive', count: 60 },
        ],
      }),
    ).toEqual(['/trains/0/vehicles too-many']);
  });
});
