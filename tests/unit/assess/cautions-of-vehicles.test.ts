import { describe, expect, it } from 'vitest';
import { translateScenario } from '../../../scenarios/translate.js';
import { cautionsOf } from '../../../worker/cautions-of.js';
import { minimalScenario } from '../scenarios/minimal-scenario.js';
import { readValid } from '../scenarios/read-valid.js';

const cars = { id: 'unit', class: 'passenger', vehicles: [{ vehicle: 'multiple-unit-car' }] };
const track = {
  rail: { mass_kg_per_m: 120, flexural_rigidity_N_m2: 12.76e6 },
  fastening: { spacing_m: 0.65, stiffness_N_per_m: 80e6, damping_N_s_per_m: 60e3 },
  slab: { mass_kg_per_m: 1600, flexural_rigidity_N_m2: 2.3e8 },
  bedding: { stiffness_N_per_m2: 6e7, damping_N_s_per_m2: 5e4 },
};

/** Whether a result warns of what the track's modes above 30 Hz do to wheels. */
function warns(changes: object): boolean {
  const scenario = readValid({ ...minimalScenario(), ...changes });
  return cautionsOf(scenario, translateScenario(scenario), []).some((caution) =>
    caution.includes('wheel unloading came out up to'),
  );
}

describe('wheel unloading with track modes to 30 Hz', () => {
  it('is cautioned of where vehicles run on a track', () => {
    expect(warns({ track, trains: [cars] })).toBe(true);
  });

  it('is not where none do', () => {
    expect(warns({ track })).toBe(false);
    expect(warns({ trains: [cars] })).toBe(false);
  });
});
