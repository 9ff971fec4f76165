import { describe, expect, it } from 'vitest';
import { railSpectra } from '../../../scenarios/library/rail-spectra.js';
import { readScenario } from '../../../scenarios/read-scenario.js';
import { translateScenario } from '../../../scenarios/translate.js';
import { minimalScenario } from './minimal-scenario.js';
import { readValid } from './read-valid.js';

const withIrregularity = (track_irregularity: unknown) => ({ ...minimalScenario(), track_irregularity });
const faultsOf = (irregularity: unknown) => {
  const reading = readScenario(JSON.stringify(withIrregularity(irregularity)));
  return reading.ok ? [] : reading.faults.map(({ code, pointer }) => `${pointer} ${code}`);
};
const profile = { from_m: -10, step_m: 0.5, level_mm: Array.from({ length: 161 }, (_, k) => k % 5) };

describe('the irregularity of the rail in a scenario', () => {
  it('is none where the scenario has none', () => {
    expect(translateScenario(readValid(minimalScenario())).irregularity).toBeNull();
  });

  it('is a sample of a named density with its band, seed and source', () => {
    const sample = { spectrum: 'fra-6', seed: 11 };
    const { irregularity } = translateScenario(readValid(withIrregularity({ sample })));
    expect(irregularity?.rail).toEqual({
      kind: 'sample',
      spectrum: railSpectra['fra-6'].density,
      seed: 11,
      shortestWave: 3,
      longestWave: 70,
    });
    expect(irregularity?.description).toMatch(/seed 11.*FRA class 6.*3 to 70 m.*\(mem\)/);
  });

  it('is a profile in metres', () => {
    const { irregularity } = translateScenario(readValid(withIrregularity({ profile })));
    expect(irregularity?.rail).toMatchObject({ kind: 'profile', from: -10, step: 0.5 });
    expect(irregularity?.rail.kind === 'profile' && irregularity.rail.levels[3]).toBeCloseTo(3e-3, 15);
  });

  it('says which waves it leaves out', () => {
    const described = (irregularity: unknown) =>
      translateScenario(readValid(withIrregularity(irregularity))).irregularity?.description;
    const sample = { spectrum: 'fra-6', seed: 11 };
    expect(described({ sample })).toContain('Waves shorter than 3 m ');
    expect(described({ sample: { ...sample, from_wavelength_m: 1.5 } })).toContain(
      'Waves shorter than 1.5 m ',
    );
    const fine = { from_m: -10, step_m: 0.2, level_mm: Array.from({ length: 401 }, (_, k) => k % 5) };
    // Four steps of half a metre; 1 m however short the steps are.
    expect(described({ profile })).toContain('Waves shorter than 2 m ');
    expect(described({ profile: fine })).toContain('Waves shorter than 1 m ');
    // They are in the wheel forces all the same, as rounding is: nobody may take them for left out.
    expect(described({ profile: fine })).toContain('rounding of the levels');
    expect(described({ profile: fine })).not.toContain('not followed');
  });

  it('has each fault at its place', () => {
    expect(faultsOf({})).toEqual(['/track_irregularity exactly-one']);
    expect(faultsOf({ profile, sample: { spectrum: 'fra-4', seed: 1 } })).toEqual([
      '/track_irregularity exactly-one',
    ]);
    expect(faultsOf({ sample: { spectrum: 'fra-7', seed: 1 } })).toEqual([
      '/track_irregularity/sample/spectrum not-accepted',
    ]);
    expect(faultsOf({ sample: { spectrum: 'fra-4' } })).toEqual([
      '/track_irregularity/sample/seed missing-key',
    ]);
    expect(faultsOf({ sample: { spectrum: 'fra-4', seed: 1, from_wavelength_m: 80 } })).toEqual([
      '/track_irregularity/sample/to_wavelength_m not-ascending',
    ]);
    expect(faultsOf({ profile: { ...profile, from_m: 5 } })).toEqual([
      '/track_irregularity/profile outside-structure',
    ]);
    expect(faultsOf({ profile: { ...profile, level_mm: profile.level_mm.slice(0, 100) } })).toEqual([
      '/track_irregularity/profile outside-structure',
    ]);
    expect(faultsOf({ profile: { ...profile, level_mm: [1, 2] } })).toEqual([
      '/track_irregularity/profile/level_mm too-few',
      '/track_irregularity/profile outside-structure',
    ]);
    expect(faultsOf({ profile_csv: 'rail.csv' })).toEqual(['/track_irregularity/profile_csv not-applicable']);
  });
});
