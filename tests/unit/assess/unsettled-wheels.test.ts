import { afterEach, describe, expect, it, vi } from 'vitest';
import { result as resultSchema } from '../../../scenarios/result.js';
import { ContactConvergenceError } from '../../../solver/vehicle/contact-convergence-error.js';
import * as coupledPassage from '../../../solver/vehicle/coupled-passage.js';
import { amplyResistant, assess, smallScenario, trainOf } from './assess-scenario.js';

// No scenario is known whose wheel forces do not settle: these say what would become of one.
vi.mock('../../../solver/vehicle/coupled-passage.js', { spy: true });

const unsettled = () => {
  throw new ContactConvergenceError(60, 1, 0.01);
};

const scenario = (changes: object = {}) =>
  smallScenario(1, {
    supports: [{ id: 'S0' }, { id: 'S1' }],
    trains: [
      { id: 'unit', class: 'passenger', vehicles: [{ vehicle: 'multiple-unit-car' }] },
      { id: 'axles', class: 'freight', axles: [0, 2, 8, 10].map((at_m) => ({ at_m, load_kN: 150 })) },
    ],
    speeds: { from_kmh: 40, to_kmh: 192, step_kmh: 76 },
    resistance: amplyResistant(1),
    ...changes,
  });

afterEach(() => {
  vi.resetAllMocks();
});

describe('a train whose wheel forces do not settle', () => {
  it('at a creep is undetermined, before damage as well, and says why; other trains keep their result', () => {
    vi.mocked(coupledPassage.creepingRide).mockImplementation(unsettled);
    const result = assess(scenario());
    expect(resultSchema.safeParse(result).error).toBeUndefined();
    const train = trainOf(result, 'intact');
    expect(train).toMatchObject({
      status: 'undetermined',
      permitted_speed_kmh: null,
      comfort_speed_kmh: null,
      governing: 'wheel-unloading',
    });
    expect(train.reason).toBe(
      'Keep the line closed until an engineer supplies the wheel unloading at walking pace, where the wheel forces computed did not settle.',
    );
    expect(train.checks.find(({ id }) => id === 'wheel-unloading')?.evidence).toBe('missing');
    expect(trainOf(result, 'intact', 'axles').status).toBe('line-speed');
  });

  it('at one speed is undetermined at every speed', () => {
    vi.mocked(coupledPassage.runCoupledPassage).mockImplementationOnce(unsettled);
    const result = assess(scenario());
    expect(resultSchema.safeParse(result).error).toBeUndefined();
    const train = trainOf(result, 'intact');
    expect(train).toMatchObject({ status: 'undetermined', permitted_speed_kmh: null });
    expect(train.missing).toEqual([
      'the wheel unloading at 40 km/h, where the wheel forces computed did not settle',
    ]);
    expect(train.sweep.speed_kmh).not.toContain(40);
    expect(train.sweep.speed_kmh).toContain(116);
  });

  it('at a creep over what is closed for another reason is left out', () => {
    vi.mocked(coupledPassage.creepingRide).mockImplementation(unsettled);
    const spans = [{ sagging_kNm: 1e4, hogging_kNm: 1e4, shear_kN: 2e4 }];
    const result = assess(scenario({ resistance: { ...amplyResistant(1), spans } }));
    const train = trainOf(result, 'intact');
    expect(train).toMatchObject({ status: 'closed', governing: 'bending', missing: [] });
  });
});
