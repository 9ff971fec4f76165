import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dampingRatio, dampingTable } from '../../../scenarios/library/damping.js';
import {
  determinantLength,
  dynamicFactor,
  dynamicFactors,
} from '../../../scenarios/library/dynamic-factor.js';
import { hslmA, hslmATrains } from '../../../scenarios/library/hslm-a.js';
import { hslmB } from '../../../scenarios/library/hslm-b.js';
import { hslmAIds, loadModelIds, wagonIds } from '../../../scenarios/library/load-model-ids.js';
import { libraryTrains } from '../../../scenarios/library/load-models.js';
import { staticLoadModels } from '../../../scenarios/library/static-load-models.js';
import { trackForms } from '../../../scenarios/library/track-forms.js';
import { wagonLength, wagonRow } from '../../../scenarios/library/wagons.js';
import { checkUnits } from '../../../scenarios/limits/check-units.js';
import { limitSets } from '../../../scenarios/limits/limit-sets.js';
import { limitSetFile } from '../../../scenarios/schema/limits.js';
import { minimalScenario } from './minimal-scenario.js';
import { readValid } from './read-valid.js';

const differences = (positions: readonly number[]) =>
  positions.slice(1).map((position, index) => position - positions[index]!);

describe('HSLM-A', () => {
  it.each(hslmAIds)('%s has 2 N + 14 axles over about 400 m, ascending and symmetric', (id) => {
    const { positions, loads } = hslmA(id);
    expect(positions).toHaveLength(2 * hslmATrains[id].intermediateCoaches + 14);
    expect(loads).toHaveLength(positions.length);
    expect(positions.at(-1)).toBeGreaterThan(380);
    expect(positions.at(-1)).toBeLessThan(410);
    const gaps = differences(positions);
    expect(Math.min(...gaps)).toBeGreaterThan(0);
    for (const [index, gap] of gaps.entries()) expect(gap).toBeCloseTo(gaps.at(-1 - index)!, 9);
  });

  it('A1 begins with power car, end coach and shared bogies at the distances of the figure', () => {
    const { positions, loads } = hslmA('HSLM-A1');
    const head = [0, 3, 14, 17, 20.525, 22.525, 38.525, 40.525, 56.525, 58.525];
    for (const [index, at] of head.entries()) expect(positions[index]).toBeCloseTo(at, 9);
    expect(positions.at(-1)).toBeCloseTo(403.05, 9);
    expect(loads[0]).toBe(170e3);
  });

  it.each(hslmAIds)('%s shows the coach length to somebody who looks at its axles alone', (id) => {
    const { positions } = hslmA(id);
    const { coachLength_m: coach } = hslmATrains[id];
    const repeated = positions.filter((at) =>
      positions.some((behind) => Math.abs(behind - at - coach) < 1e-6),
    );
    expect(repeated.length).toBeGreaterThan(0.6 * positions.length);
  });
});

describe('HSLM-B', () => {
  it('has equal forces at a spacing that does not shrink as spans grow', () => {
    const spacings = [1, 2, 3, 4, 5, 6, 6.9].map((span) => differences(hslmB(span).positions)[0]!);
    expect([...spacings].sort((a, b) => a - b)).toEqual(spacings);
    const { positions, loads } = hslmB(5);
    for (const gap of differences(positions)) expect(gap).toBeCloseTo(5.5, 9);
    expect(new Set(loads)).toEqual(new Set([170e3]));
  });
});

/** EN 15528:2015 Table 1 (mem): the digit of the category stands for 5.0, 6.4, 7.2, 8.0, 8.8 t/m. */
const loadPerMetreOf = {
  A: 5,
  B1: 5,
  B2: 6.4,
  C2: 6.4,
  C3: 7.2,
  C4: 8,
  D2: 6.4,
  D3: 7.2,
  D4: 8,
  E4: 8,
  E5: 8.8,
};

describe('freight wagons', () => {
  it('D4 are 11.25 m long with 22.5 t axles', () => {
    expect(wagonLength('D4')).toBe(11.25);
    const { positions, loads } = wagonRow('D4', 2);
    const expected = [0, 1.8, 6.45, 8.25, 11.25, 13.05, 17.7, 19.5];
    for (const [index, at] of expected.entries()) expect(positions[index]).toBeCloseTo(at, 9);
    expect(loads[0]).toBeCloseTo(22_500 * 9.81, 6);
  });

  it.each(wagonIds)('%s carry the load per metre of their category and make at least 400 m', (id) => {
    const { positions, loads } = wagonRow(id);
    const wagons = positions.length / 4;
    expect(wagons * wagonLength(id)).toBeGreaterThanOrEqual(400 - 1e-6);
    expect((wagons - 1) * wagonLength(id)).toBeLessThan(400);
    expect(Math.min(...differences(positions))).toBeGreaterThan(1);
    const weight = loads.reduce((sum, load) => sum + load, 0);
    const tonnesPerMetre = weight / (wagons * wagonLength(id)) / 9810;
    expect(tonnesPerMetre).toBeCloseTo(loadPerMetreOf[id], 9);
  });
});

describe('static load models', () => {
  it('weigh what the code says', () => {
    const { LM71 } = staticLoadModels;
    expect(LM71.axles.reduce((sum, axle) => sum + axle.load_kN, 0)).toBe(1000);
    const block = (id: 'SW/0' | 'SW/2') =>
      staticLoadModels[id].lineLoads.map((line) => [line.load_kN_per_m, line.length_m, line.gap_m]);
    expect(block('SW/0')).toEqual([
      [133, 15, 5.3],
      [133, 15, 5.3],
    ]);
    expect(block('SW/2')).toEqual([
      [150, 25, 7],
      [150, 25, 7],
    ]);
  });

  it('have a dynamic factor within its bounds that never grows with length', () => {
    fc.assert(
      fc.property(
        fc.constantFrom<'phi2' | 'phi3'>('phi2', 'phi3'),
        fc.double({ min: 0.01, max: 500, noNaN: true }),
        fc.double({ min: 0, max: 100, noNaN: true }),
        (which, length, more) => {
          const factor = dynamicFactor(which, length);
          expect(factor).toBeLessThanOrEqual(dynamicFactors[which].most);
          expect(factor).toBeGreaterThanOrEqual(1);
          expect(dynamicFactor(which, length + more)).toBeLessThanOrEqual(factor);
        },
      ),
    );
  });

  it('take the determinant length of the unit with the largest factor, at least its longest span', () => {
    expect(determinantLength([[30, 30, 30]])).toBeCloseTo(39, 12);
    expect(determinantLength([[30, 30, 30], [20]])).toBe(20);
    expect(determinantLength([[10, 10, 100]])).toBe(100);
  });
});

describe('damping', () => {
  it.each([
    ['steel', 10, 0.0175],
    ['composite', 40, 0.005],
    ['prestressed-concrete', 15, 0.0135],
    ['reinforced-concrete', 20, 0.015],
  ] as const)('of %s with spans up to %d m is %d', (material, span, expected) => {
    expect(dampingRatio(material, [5, span])).toBeCloseTo(expected, 12);
  });
});

const unitOf = (check: string) => Object.entries(checkUnits).find(([id]) => id === check)?.[1].unit;
const kindOf = (check: string) => Object.entries(checkUnits).find(([id]) => id === check)?.[1].kind;

describe('the library', () => {
  it('names a source marked as quoted from memory for every value', () => {
    const sources = [
      ...libraryTrains().map((one) => one.source),
      ...Object.values(dampingTable).map((one) => one.source),
      ...Object.values(dynamicFactors).map((one) => one.source),
      ...trackForms.map((one) => one.source),
    ];
    for (const source of sources) expect(source).toContain('(mem');
    expect(libraryTrains().map((one) => one.id)).toEqual([...loadModelIds]);
  });

  it('has track forms that a scenario can carry as they are', () => {
    for (const { track } of trackForms)
      expect(readValid({ ...minimalScenario(), track }).track).toEqual(track);
  });

  it.each(Object.entries(limitSets))(
    'has the limit set %s in the form users write, for every check',
    (name, set) => {
      expect(limitSetFile.parse(set)).toEqual(set);
      expect(set.id).toBe(name);
      expect(set.limits.map((limit) => limit.check).sort()).toEqual(Object.keys(checkUnits).sort());
      for (const limit of set.limits) {
        const unit = limit.unit === 'L/n' ? 'mm' : limit.unit;
        expect({ unit, kind: limit.kind }).toEqual({ unit: unitOf(limit.check), kind: kindOf(limit.check) });
      }
    },
  );
});
