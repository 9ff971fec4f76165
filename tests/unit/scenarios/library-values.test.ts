import { describe, expect, it } from 'vitest';
import { dampingRatio, dampingTable } from '../../../scenarios/library/damping.js';
import { determinantLength, dynamicFactor } from '../../../scenarios/library/dynamic-factor.js';
import { hslmA } from '../../../scenarios/library/hslm-a.js';
import { hslmB, hslmBLongestSpan } from '../../../scenarios/library/hslm-b.js';
import { hslmAIds, wagonIds } from '../../../scenarios/library/load-model-ids.js';
import { railSpectra } from '../../../scenarios/library/rail-spectra.js';
import { staticLoadModels, staticUpTo } from '../../../scenarios/library/static-load-models.js';
import { trackForms } from '../../../scenarios/library/track-forms.js';
import { wagonRow } from '../../../scenarios/library/wagons.js';
import { limitSets } from '../../../scenarios/limits/limit-sets.js';
import type { LimitSetFile } from '../../../scenarios/schema/limits.js';

/*
 * Numbers are written out here a second time, each as its source has it (mem), or as it was chosen where there is none: a slip in one of
 * the two places shows.
 */

const given = 'given in the scenario';
/** Values with the speed in km/h up to which each holds; one without a speed holds beyond, or at every speed. */
const limits = [
  ['deck-acceleration', 'safety', '5 m/s2', 'EN 1990:2002/A1 A2.4.4.2.1(4)'],
  ['deck-deflection', 'safety', '600 L/n', 'EN 1990:2002/A1 A2.4.4.2.3(1)'],
  ['end-rotation', 'safety', '0.0035 rad', 'common practice'],
  ['joint-step', 'safety', '3 to 160, 2 mm', 'EN 1991-2:2003 6.5.4.5.2(3)'],
  ['fastening-uplift', 'safety', '18 kN', 'common practice'],
  ['bearing-uplift', 'safety', '1 -', given],
  ['support-reaction', 'safety', '1 -', given],
  ['bending', 'safety', '1 -', given],
  ['shear', 'safety', '1 -', given],
  ['slab-bending', 'safety', '1 -', given],
  ['rail-bending', 'safety', '1 -', given],
  ['deck-twist', 'safety', '4.5 to 120, 3 to 200, 1.5 mm', 'EN 1990:2002/A1 A2.4.4.2.2(2), Table A2.7'],
  ['wheel-unloading', 'safety', '0.6 -', 'common practice'],
  ['track-geometry', 'safety', '28 to 80, 26 to 120, 23 to 160, 20 to 230, 16 to 300 mm', 'EN 13848-5'],
  ['body-acceleration', 'comfort', '1.3 m/s2', 'EN 1990:2002/A1 Table A2.9'],
  ['ride-comfort', 'comfort', '0.315 m/s2', 'ISO 2631-1:1997 C.2.3'],
] as const;

/** EN 1991-2:2003 Table 6.3: N coaches of D m, bogie wheelbase d m, axles of P kN. */
const hslmATable = [
  ['HSLM-A1', 18, 18, 2, 170],
  ['HSLM-A2', 17, 19, 3.5, 200],
  ['HSLM-A3', 16, 20, 2, 180],
  ['HSLM-A4', 15, 21, 3, 190],
  ['HSLM-A5', 14, 22, 2, 170],
  ['HSLM-A6', 13, 23, 2, 180],
  ['HSLM-A7', 13, 24, 2, 190],
  ['HSLM-A8', 12, 25, 2.5, 190],
  ['HSLM-A9', 11, 26, 2, 210],
  ['HSLM-A10', 11, 27, 2, 210],
] as const;

/** EN 1991-2:2003 Figure 6.14, coarse: span in m up to which forces stand at a distance in m. */
const hslmBSteps = [
  [1.6, 2.5],
  [2.5, 3],
  [2.8, 3.5],
  [3.2, 4],
  [3.8, 4.5],
  [4.5, 5],
  [5.5, 5.5],
  [7, 6],
] as const;

/** EN 15528:2015 Table 1: axle load in t; length in m from the load per metre, 5.0, 6.4, 7.2, 8.0 or 8.8 t/m. */
const wagons = [
  ['A', 16, 64 / 5],
  ['B1', 18, 72 / 5],
  ['B2', 18, 72 / 6.4],
  ['C2', 20, 80 / 6.4],
  ['C3', 20, 80 / 7.2],
  ['C4', 20, 80 / 8],
  ['D2', 22.5, 90 / 6.4],
  ['D3', 22.5, 90 / 7.2],
  ['D4', 22.5, 11.25],
  ['E4', 25, 100 / 8],
  ['E5', 25, 100 / 8.8],
] as const;

/** EN 1991-2:2003 (6.4) and (6.5): determinant length in m, factor for careful and for standard maintenance. */
const phi = [
  [1, 1.67, 2],
  [4, 1.62, 1.93],
  [9, 1.44 / 2.8 + 0.82, 2.16 / 2.8 + 0.73],
  [25, 1.12, 1.18],
  [100, 1, 1],
] as const;

/** EN 1991-2:2003 Table 6.6: per cent for spans of 20 m and more, and for 10 m. */
const damping = [
  ['steel', 0.5, 1.75],
  ['composite', 0.5, 1.75],
  ['prestressed-concrete', 1, 1.7],
  ['reinforced-concrete', 1.5, 2.2],
] as const;

/** Strength in m2 rad/m, break frequencies in rad/m. FRA: k = 0.25 times A in cm2 rad/m (Hamid 1983). German: Claus and Schiehlen 1998. */
const spectra = [
  ['fra-4', 0.25 * 0.5376e-4, 0, 0.8245, 'Hamid'],
  ['fra-5', 0.25 * 0.2095e-4, 0, 0.8245, 'Hamid'],
  ['fra-6', 0.25 * 0.0339e-4, 0, 0.8245, 'Hamid'],
  ['german-low', 4.032e-7, 0.0206, 0.8246, 'Claus and W. Schiehlen'],
  ['german-high', 1.08e-6, 0.0206, 0.8246, 'Claus and W. Schiehlen'],
] as const;

/**
 * Rigidity of two rails of 60 kg/m: 2 x 210 GPa x 3038 cm4. All else is invented, of usual size. Seats: a pair every m, N/m, N s/m; slab:
 * kg/m, N m2, panels in m; bedding: N/m2, N s/m2.
 */
const forms = [
  ['continuous-slab', [0.65, 80e6, 60e3], [1600, 2.3e8, null], [6e7, 5e4]],
  ['panel-slab', [0.65, 80e6, 60e3], [1350, 1.4e8, 6.5], [2e9, 1e5]],
  ['floating-slab', [0.65, 80e6, 60e3], [3500, 6e8, null], [2e7, 3e4]],
  ['direct-fastening', [0.6, 50e6, 40e3], [], []],
] as const;

const written = ({ limits: all }: LimitSetFile) =>
  all.map(({ check, kind, unit, steps }) => {
    const values = steps.map(({ up_to_kmh: end, value }) => `${value}${end === null ? '' : ` to ${end}`}`);
    return [check, kind, `${values.join(', ')} ${unit}`];
  });

describe('the library carries what its sources say', () => {
  it('of limits on ballastless track, step by step', () => {
    expect(written(limitSets['en-1990-a2'])).toEqual(limits.map(([...row]) => row.slice(0, 3)));
    for (const [index, [, , , source]] of limits.entries())
      expect(limitSets['en-1990-a2'].limits[index]!.source).toContain(source);
  });

  it('of limits on ballasted track: 3.5 m/s2, and all others the same', () => {
    const [, ...others] = limits.map(([...row]) => row.slice(0, 3));
    const ballasted = ['deck-acceleration', 'safety', '3.5 m/s2'];
    expect(written(limitSets['en-1990-a2-ballasted'])).toEqual([ballasted, ...others]);
  });

  it.each(hslmATable)(
    'of %s: %d coaches of %d m, wheelbase %d m, axles of %d kN',
    (id, n, coach, base, load) => {
      const { positions, loads } = hslmA(id);
      const bogies = Array.from({ length: n + 3 }, (_, bogie) => 20.525 + bogie * coach);
      const tail = bogies.at(-1)! + base + 3.525;
      const expected = [0, 3, 14, 17, ...bogies.flatMap((at) => [at, at + base])];
      expected.push(...[0, 3, 14, 17].map((at) => tail + at));
      expect(positions).toHaveLength(expected.length);
      for (const [axle, at] of expected.entries()) expect(positions[axle]).toBeCloseTo(at, 9);
      expect(new Set(loads)).toEqual(new Set([load * 1e3]));
    },
  );

  it.each(hslmBSteps)('of HSLM-B on spans up to %d m: forces %d m apart', (span, distance) => {
    const next = hslmBSteps.find(([end]) => end > span);
    const { positions, loads } = hslmB(span);
    expect(positions).toEqual(Array.from({ length: 20 }, (_, force) => force * distance));
    expect(new Set(loads)).toEqual(new Set([170e3]));
    if (next) expect(hslmB(span + 1e-6).positions[1]).toBe(next[1]);
    else expect(hslmBLongestSpan).toBe(span);
  });

  it.each(wagons)('of wagons %s: axles of %d t, 1.8 m apart in a bogie, on %d m', (id, load, length) => {
    const { positions, loads } = wagonRow(id, 2);
    const wagon = [0, 1.8, length - 4.8, length - 3];
    for (const [axle, at] of [...wagon, ...wagon.map((at) => at + length)].entries())
      expect(positions[axle]).toBeCloseTo(at, 9);
    expect(loads).toHaveLength(8);
    for (const force of loads) expect(force).toBeCloseTo(load * 9810, 6);
  });

  it('of static load models: EN 1991-2:2003 Figure 6.1 and Table 6.1, up to 200 km/h by 6.4.4', () => {
    const { LM71, 'SW/0': sw0, 'SW/2': sw2 } = staticLoadModels;
    expect(LM71.axles).toEqual([0, 1.6, 3.2, 4.8].map((at_m) => ({ at_m, load_kN: 250 })));
    expect(LM71.lineLoads).toEqual([{ load_kN_per_m: 80, length_m: null, gap_m: 0.8 }]);
    const twice = <T>(block: T) => ({ axles: [], lineLoads: [block, block] });
    expect(sw0).toMatchObject(twice({ load_kN_per_m: 133, length_m: 15, gap_m: 5.3 }));
    expect(sw2).toMatchObject(twice({ load_kN_per_m: 150, length_m: 25, gap_m: 7 }));
    expect(staticUpTo.speed_kmh).toBe(200);
  });

  it.each(phi)('of dynamic factors at %d m: %d and %d', (length, phi2, phi3) => {
    expect(dynamicFactor('phi2', length)).toBeCloseTo(phi2, 12);
    expect(dynamicFactor('phi3', length)).toBeCloseTo(phi3, 12);
  });

  it('of the determinant length of continuous spans: EN 1991-2:2003 Table 6.2 case 5.2', () => {
    const lengths = [1, 2, 3, 4, 5, 6].map((spans) => determinantLength([Array<number>(spans).fill(10)]));
    for (const [index, length] of [10, 12, 13, 14, 15, 15].entries())
      expect(lengths[index]).toBeCloseTo(length, 12);
  });

  it.each(damping)(
    'of damping of %s, in per cent: %d for long spans, %d at 10 m',
    (material, long, short) => {
      for (const span of [20, 60]) expect(100 * dampingRatio(material, [span])).toBeCloseTo(long, 12);
      expect(100 * dampingRatio(material, [10])).toBeCloseTo(short, 12);
    },
  );

  it.each(spectra)('of the spectrum %s', (name, strength, lower, upper, author) => {
    const { density, source } = railSpectra[name];
    expect(density.strength / strength).toBeCloseTo(1, 12);
    expect(density).toMatchObject({ lower, upper });
    expect(source).toContain(author);
  });

  it.each(forms)('of the track form %s', (id, seats, slab, bedding) => {
    const [spacing_m, stiffness_N_per_m, damping_N_s_per_m] = seats;
    const [mass_kg_per_m, flexural_rigidity_N_m2, panel_length_m] = slab;
    const [stiffness_N_per_m2, damping_N_s_per_m2] = bedding;
    expect(trackForms.find((form) => form.id === id)!.track).toEqual({
      rail: { mass_kg_per_m: 120, flexural_rigidity_N_m2: 12.76e6 },
      fastening: { spacing_m, stiffness_N_per_m, damping_N_s_per_m },
      ...(slab.length > 0 && { slab: { mass_kg_per_m, flexural_rigidity_N_m2, panel_length_m } }),
      ...(bedding.length > 0 && { bedding: { stiffness_N_per_m2, damping_N_s_per_m2 } }),
    });
  });

  it('of every entry that it has', () => {
    const ids = (table: readonly (readonly [string, ...unknown[]])[]) => table.map(([id]) => id);
    expect(ids(hslmATable)).toEqual(hslmAIds);
    expect(ids(wagons)).toEqual(wagonIds);
    expect(ids(damping)).toEqual(Object.keys(dampingTable));
    expect(ids(spectra)).toEqual(Object.keys(railSpectra));
    expect(ids(forms)).toEqual(trackForms.map(({ id }) => id));
  });
});
