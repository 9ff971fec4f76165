import { describe, expect, it } from 'vitest';
import { buildConsist, UnsharedBogieError } from '../../../../solver/vehicle/build-consist.js';
import { buildVehicleSystem } from '../../../../solver/vehicle/vehicle-system.js';
import { car } from '../../../verification/models/vehicles.js';

const total = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0);

describe('a train of cars', () => {
  const consist = buildConsist([car, car, car]);

  it('stands on four wheelsets per car, one car length apart', () => {
    const positions = consist.wheels.map(({ position }) => position);
    expect(positions.slice(0, 4)).toEqual([0, 2.5, 17.5, 20]);
    expect(positions[4]).toBeCloseTo(25, 12);
    expect(positions).toHaveLength(12);
  });

  it('presses on the rail with its whole weight', () => {
    const mass = total(consist.bodies.map((body) => body.mass));
    expect(total(consist.wheels.map(({ load }) => load))).toBeCloseTo(9.81 * mass, 3);
  });

  it('is one system per car, since couplers carry nothing in the vertical', () => {
    expect(buildVehicleSystem(consist).components.map(({ size }) => size)).toEqual([10, 10, 10]);
  });

  it('is judged for comfort over both bogies and in the middle of every car', () => {
    expect(consist.floor).toHaveLength(9);
    expect(buildConsist([{ ...car, passengers: false }]).floor).toEqual([]);
  });
});

describe('an articulated train', () => {
  const articulated = { ...car, sharesBogieWithNext: true };
  const consist = buildConsist([articulated, articulated, car]);

  it('has one bogie more than cars, the shared ones under twice the body', () => {
    expect(consist.wheels).toHaveLength(8);
    const loads = consist.wheels.map(({ load }) => load);
    const half = (9.81 * car.bodyMass) / 4;
    expect(loads[2]! - loads[0]!).toBeCloseTo(half, 6);
  });

  it('is one system', () => {
    expect(buildVehicleSystem(consist).components).toHaveLength(1);
  });

  it('cannot share the bogie of its last car', () => {
    expect(() => buildConsist([car, articulated])).toThrow(UnsharedBogieError);
  });
});
