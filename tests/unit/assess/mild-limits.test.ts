import { describe, expect, it } from 'vitest';
import { readScenario } from '../../../scenarios/read-scenario.js';
import { translateScenario } from '../../../scenarios/translate.js';
import { mildLimitCautions } from '../../../worker/mild-limits.js';
import { assess, smallScenario } from './assess-scenario.js';

/** What is said of a deck of one 30 m span with these limits. */
function saidOf(limits: object, speeds: object = {}): string[] {
  const reading = readScenario(JSON.stringify(smallScenario(1, { limits, ...speeds })));
  if (!reading.ok) throw new Error(reading.faults.map(({ message }) => message).join('\n'));
  return mildLimitCautions(reading.scenario, translateScenario(reading.scenario));
}

const ownSet = (check: string, unit: string, steps: readonly object[]) => ({
  own_set: {
    format: 'deckpace/limits@1',
    id: 'house',
    title: 'House rules',
    limits: [{ check, kind: 'safety', unit, steps, source: 'house rule' }],
  },
});

describe('limits milder than those of the named set', () => {
  it('are named with both values, and no others', () => {
    const overrides = { 'deck-acceleration': 20, 'end-rotation': 0.001, 'joint-step': 2.5 };
    expect(saidOf({ overrides })).toEqual([
      'Limits milder than those of the set en-1990-a2 were given, and speeds rest on them: deck acceleration 20 instead of 5 m/s2 and step at the joint 2.5 instead of 2 mm. Whoever gave them answers for them.',
    ]);
  });

  it('are looked for in every speed class that is assessed', () => {
    const overrides = { 'joint-step': 2.5 };
    const slow = { line: { speed_kmh: 120 }, speeds: { from_kmh: 40, to_kmh: 144, step_kmh: 20 } };
    expect(saidOf({ overrides }, slow)).toEqual([]);
    expect(saidOf({ overrides })).toHaveLength(1);
  });

  it('are compared by span: 30 m / 600 is 50 mm', () => {
    expect(saidOf({ overrides: { 'deck-deflection': 50 } })).toEqual([]);
    expect(saidOf({ overrides: { 'deck-deflection': 51 } }).join()).toContain(
      'deflection 51 instead of 50 mm',
    );
    const deflection = (n: number) => ownSet('deck-deflection', 'L/n', [{ up_to_kmh: null, value: n }]);
    expect(saidOf(deflection(500)).join()).toContain('deflection 60 instead of 50 mm');
    expect(saidOf(deflection(600))).toEqual([]);
  });

  it('are none where an own set ends before the named one', () => {
    expect(saidOf(ownSet('joint-step', 'mm', [{ up_to_kmh: 100, value: 2 }]))).toEqual([]);
  });

  it('are compared with the ballasted set where that is named', () => {
    const overrides = { 'deck-acceleration': 4 };
    expect(saidOf({ overrides })).toEqual([]);
    expect(saidOf({ set: 'en-1990-a2-ballasted', overrides }).join()).toContain('4 instead of 3.5 m/s2');
  });
});

describe('an overspeed factor', () => {
  const said = (overspeed_factor: number) =>
    assess(smallScenario(1, { decision: { overspeed_factor } })).cautions.filter((text) =>
      text.includes('1.2 times the line speed'),
    );

  it('below that of bridge design is said', () => {
    expect(said(1)).toEqual([expect.stringMatching(/^Speeds are safe to 1 times what is permitted/)]);
    expect(said(1.2)).toEqual([]);
  });
});
