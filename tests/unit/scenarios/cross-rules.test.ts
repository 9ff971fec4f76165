import { describe, expect, it } from 'vitest';
import { checkUnits } from '../../../scenarios/limits/check-units.js';
import { checkId } from '../../../scenarios/result.js';
import { codesOf, faultsOf, fullScenarioWith } from './faults-of.js';
import { minimalScenario } from './minimal-scenario.js';

const effect = '/damage_cases/0/effects';

describe('rules across the keys of the structure', () => {
  it('want one support more than spans', () => {
    const document = minimalScenario();
    document.supports.pop();
    const [first] = faultsOf(document);
    expect(first?.message).toBe(
      '/supports: found 2 supports for 2 spans; accepted: 3 supports, one more than spans. Is one end support missing?',
    );
  });

  it('leave lists that are too short or too long to the fault that says so', () => {
    const minimal = minimalScenario();
    expect(codesOf({ ...minimal, supports: [{ id: 'A1' }] })).toEqual(['too-few /supports']);
    const supports = Array.from({ length: 202 }, (_, index) => ({ id: `S${index}` }));
    expect(codesOf({ ...minimal, supports })).toEqual(['too-many /supports']);
    const resistance = { spans: Array(201).fill(null) };
    expect(codesOf({ ...minimal, resistance })).toEqual(['too-many /resistance/spans']);
  });

  it('want damping exactly once', () => {
    expect(codesOf(fullScenarioWith('/deck/damping_ratio', 0.01))).toEqual(['exactly-one /deck']);
    expect(codesOf(fullScenarioWith('/deck/material', undefined))).toEqual(['exactly-one /deck']);
  });

  it('want segments that fill their span and stand in place of its own properties', () => {
    expect(codesOf(fullScenarioWith('/deck/spans/0/segments/0/length_m', 9))).toEqual([
      'length-mismatch /deck/spans/0/segments',
    ]);
    expect(codesOf(fullScenarioWith('/deck/spans/0/mass_kg_per_m', 15000))).toEqual([
      'exactly-one /deck/spans/0/mass_kg_per_m',
    ]);
    const [first] = faultsOf(fullScenarioWith('/deck/spans/1/mass_kg_per_m', undefined));
    expect(first?.code).toBe('missing-key');
    expect(first?.accepted).toContain('50 to 200000 kg/m, or segments');
  });

  it('want slab and bedding together', () => {
    expect(codesOf(fullScenarioWith('/track/slab', undefined))).toEqual(['belong-together /track/slab']);
  });

  it('want the clamping force with what is only used beyond it', () => {
    expect([...codesOf(fullScenarioWith('/track/fastening/clamping_force_kN', undefined))].sort()).toEqual([
      'belong-together /track/fastening/compression_stiffness_N_per_m',
      'belong-together /track/rail/section_modulus_m3',
    ]);
  });

  it('find a rigidity that no bridge of that mass and span has: kN or N?', () => {
    const [first] = faultsOf(fullScenarioWith('/deck/spans/1/flexural_rigidity_N_m2', 1.1e8));
    expect(first?.code).toBe('implausible');
    expect(first?.guess).toContain('kN m2');
    const [stiff] = faultsOf(fullScenarioWith('/deck/spans/1/flexural_rigidity_N_m2', 9e13));
    expect(stiff?.code).toBe('implausible');
  });

  it('find a support that would sink by metres under the deck: kN or N?', () => {
    const [first] = faultsOf(fullScenarioWith('/supports/1/stiffness_N_per_m', 3e6));
    expect([first?.code, first?.pointer]).toEqual(['implausible', '/supports/1/stiffness_N_per_m']);
    expect(first?.guess).toContain('kN/m');
  });

  it('find a stiff support given in kN/m, which would sink by centimetres', () => {
    const stiff = (value: number) => codesOf(fullScenarioWith('/supports/1/stiffness_N_per_m', value));
    expect(stiff(1e10)).toEqual([]);
    expect(stiff(1e7)).toEqual(['implausible /supports/1/stiffness_N_per_m']);
    // Half of either span, 15 and 15.3 t/m over 30 m: 1.49e8 N/m lets them down by span / 1000.
    expect(stiff(1.52e8)).toEqual([]);
    const [first] = faultsOf(fullScenarioWith('/supports/1/stiffness_N_per_m', 1.45e8));
    expect(first?.message).toBe(
      "/supports/1/stiffness_N_per_m: found 1.45e8 N/m, which goes down by 0.031 m under the deck's own weight; accepted: a stiffness (N/m) that goes down by at most 0.03 m (span / 1000, or 10 mm if that is more). Was it given in kN/m (1000 times too small)?",
    );
  });

  it('find a deck whose mass was given in kN/m, which would leave nothing of its dead load', () => {
    const light = (mass: number) => fullScenarioWith('/deck/spans/1/mass_kg_per_m', mass);
    // 1.1e11 N m2 over spans of 30 m: 301 kg/m were a section of steel with a radius of gyration of span / 8.
    expect(codesOf(light(310))).toEqual([]);
    const [first, ...rest] = faultsOf(light(150));
    expect(rest).toEqual([]);
    expect(first?.message).toBe(
      '/deck/spans/1/mass_kg_per_m: found 150 kg/m with 1.1e11 N m2, lighter than any deck so rigid; accepted: at least 300 kg/m beside this rigidity, in a deck of spans to 30 m. Was the mass given in kN/m? Then write 15290.5 kg/m.',
    );
    const segment = '/deck/spans/0/segments';
    const parts = [1, 2].map((part) => ({
      length_m: 10 * part,
      mass_kg_per_m: 150,
      flexural_rigidity_N_m2: 1.1e11,
    }));
    expect(codesOf(fullScenarioWith(segment, parts))).toEqual([`implausible ${segment}/0/mass_kg_per_m`]);
  });

  it('let a short end span have the section of the long one beside it', () => {
    const minimal = minimalScenario();
    const spans = [60, 8].map((length_m) => ({
      ...minimal.deck.spans[0]!,
      length_m,
      flexural_rigidity_N_m2: 3e11,
    }));
    expect(codesOf({ ...minimal, deck: { ...minimal.deck, spans } })).toEqual([]);
  });

  it('let a short span stand on springs that give by 10 mm', () => {
    const minimal = minimalScenario();
    const spans = [0, 1].map(() => ({ length_m: 5, mass_kg_per_m: 6000, flexural_rigidity_N_m2: 1e9 }));
    const on = (stiffness_N_per_m: number) =>
      codesOf({
        ...minimal,
        deck: { ...minimal.deck, spans },
        supports: [{ id: 'A1' }, { id: 'P1', stiffness_N_per_m }, { id: 'A2' }],
      });
    expect(on(3e7)).toEqual([]);
    expect(on(2.9e7)).toEqual(['implausible /supports/1/stiffness_N_per_m']);
  });
});

describe('rules across spans of segments', () => {
  const ofSegments = (...rigidities: readonly number[]) => ({
    ...minimalScenario(),
    deck: {
      damping_ratio: 0.01,
      spans: [0, 1].map(() => ({
        length_m: 20,
        segments: rigidities.map((flexural_rigidity_N_m2) => ({
          length_m: 20 / rigidities.length,
          mass_kg_per_m: 12_000,
          flexural_rigidity_N_m2,
        })),
      })),
    },
  });
  const rigidity = (span: number, segment: number) =>
    `implausible /deck/spans/${span}/segments/${segment}/flexural_rigidity_N_m2`;

  it('find a rigidity that no bridge has, in kN m2 or 1000 times too large, and name the segment', () => {
    expect(codesOf(ofSegments(4e10))).toEqual([]);
    expect(codesOf(ofSegments(4e7))).toEqual([rigidity(0, 0), rigidity(1, 0)]);
    expect(codesOf(ofSegments(4e13))).toEqual([rigidity(0, 0), rigidity(1, 0)]);
    expect(faultsOf(ofSegments(4e7))[0]?.guess).toContain('kN m2');
  });

  it('find it in one segment beside right ones', () => {
    expect(codesOf(ofSegments(8e10, 4e10, 8e10))).toEqual([]);
    expect(codesOf(ofSegments(8e10, 4e7, 8e10))).toEqual([rigidity(0, 1), rigidity(1, 1)]);
    expect(codesOf(ofSegments(8e10, 4e13, 8e10))).toEqual([rigidity(0, 1), rigidity(1, 1)]);
    expect(faultsOf(ofSegments(8e10, 4e13, 8e10))[0]?.found).toBe(
      '4e13 N m2 with the other segments, 12000 kg/m over 20 m: a first frequency of 131 Hz',
    );
  });

  it('weigh them on the supports beside', () => {
    const supports = [{ id: 'A1' }, { id: 'P1', stiffness_N_per_m: 3e6 }, { id: 'A2' }];
    expect(codesOf({ ...ofSegments(4e10, 4e10), supports })).toEqual([
      'implausible /supports/1/stiffness_N_per_m',
    ]);
  });
});

describe('rules across the keys of damage', () => {
  it('know every support by name and list them', () => {
    const [first] = faultsOf(fullScenarioWith(`${effect}/1/support`, 'P9'));
    expect([first?.code, first?.pointer]).toEqual(['unknown-support', `${effect}/1/support`]);
    expect(first?.accepted).toBe('the id of a support: A1, P1, A2');
  });

  it('let part of a support go only where it has a stiffness', () => {
    const rigid = { kind: 'support-stiffness-loss', support: 'A1', fraction: 0.5 };
    expect(codesOf(fullScenarioWith(`${effect}/0`, rigid))).toEqual([`rigid-support ${effect}/0/fraction`]);
    expect(codesOf(fullScenarioWith(`${effect}/0`, { ...rigid, fraction: 1 }))).toEqual([]);
  });

  it('know every span', () => {
    expect(codesOf(fullScenarioWith(`${effect}/3/span`, 3))).toEqual([`unknown-span ${effect}/3/span`]);
  });

  it('measure along the span from its start, and recognise what was measured from the first support', () => {
    const loss = { kind: 'deck-stiffness-loss', span: 2, from_m: 42, to_m: 48, fraction: 0.3 };
    const faults = faultsOf(fullScenarioWith(`${effect}/3`, loss));
    expect(faults.map((one) => `${one.code} ${one.pointer}`)).toEqual([
      `outside-structure ${effect}/3/from_m`,
      `outside-structure ${effect}/3/to_m`,
    ]);
    expect(faults[0]?.guess).toBe('Measured from the first support? Then write 12: span 2 starts at 30 m.');
  });

  it('want stretches that begin before they end', () => {
    expect(codesOf(fullScenarioWith(`${effect}/4/to_m`, 20))).toEqual([`not-ascending ${effect}/4/to_m`]);
    const turned = { kind: 'bedding-loss', from_m: 40, to_m: 20, fraction: 0.7 };
    expect(faultsOf(fullScenarioWith(`${effect}/4`, turned))[0]?.guess).toBe(
      'Are the two the wrong way round?',
    );
  });

  it('say once that a place is out of its range', () => {
    for (const place of ['3/from_m', '4/from_m', '5/from_m', '3/to_m', '4/to_m', '5/to_m'])
      expect(codesOf(fullScenarioWith(`${effect}/${place}`, 9e15))).toEqual([
        `out-of-range ${effect}/${place}`,
      ]);
    expect(codesOf(fullScenarioWith(`${effect}/5/to_m`, -9e15))).toEqual([`out-of-range ${effect}/5/to_m`]);
  });

  it('recognise the chainage in the place of a loss', () => {
    const guess = (at: number) => faultsOf(fullScenarioWith(`${effect}/4/to_m`, at))[0]?.guess;
    expect(guess(12_375)).toBe('Is that the chainage? Then write 35.');
    expect(guess(13_000)).toBeNull();
  });

  it('say what to do where the entries of a case are given in the order of spans', () => {
    const [first] = faultsOf(
      fullScenarioWith('/damage_cases/0/resistance/spans', [{ sagging_kNm: 30000 }, { sagging_kNm: 30000 }]),
    );
    expect(first).toMatchObject({ code: 'missing-key', pointer: '/damage_cases/0/resistance/spans/0/span' });
    expect(first?.guess).toBe('Each entry here names its span: their order says nothing.');
  });

  it('take a loss of bedding only where there is one, and near the viaduct', () => {
    expect(codesOf(fullScenarioWith('/track', undefined))).toEqual([
      `not-applicable ${effect}/4/kind`,
      `not-applicable ${effect}/5/kind`,
    ]);
    expect(codesOf(fullScenarioWith(`${effect}/4/to_m`, 700))).toEqual([
      `outside-structure ${effect}/4/to_m`,
    ]);
  });

  it('want a rail seat where fastenings are lost, and name the nearest', () => {
    const lost = (from_m: number, to_m: number) =>
      fullScenarioWith(`${effect}/5`, { kind: 'fastening-loss', from_m, to_m, fraction: 1 });
    // Spans of 30 m in 47 parts of 0.638 m: seats at 9.894 m and 10.532 m.
    expect(faultsOf(lost(10, 10.3)).map(({ message }) => message)).toEqual([
      `${effect}/5/to_m: found from 10 m to 10.3 m, between two rail seats; accepted: a stretch over a rail seat: from_m at most 9.893 m or to_m at least 10.532 m, where the nearest ones are placed.`,
    ]);
    expect(codesOf(lost(9.893, 10.3))).toEqual([]);
    expect(codesOf(lost(10, 10.532))).toEqual([]);
    expect(codesOf(lost(-2.2, -1.7))).toEqual([`no-rail-seat ${effect}/5/to_m`]);
    expect(codesOf(lost(-2.3, -1.7))).toEqual([]);
  });

  it('keep the name intact, and every other name once', () => {
    expect(codesOf(fullScenarioWith('/damage_cases/0/id', 'intact'))).toEqual([
      'reserved-name /damage_cases/0/id',
    ]);
    const one = { id: 'x', effects: [{ kind: 'bearing-loss', support: 'P1' }] };
    expect(codesOf({ ...minimalScenario(), damage_cases: [one, one] })).toEqual([
      'duplicate-name /damage_cases/1/id',
    ]);
  });

  it('take one kind of effect once for a support in a case', () => {
    const withEffects = (...effects: readonly object[]) => ({
      ...minimalScenario(),
      damage_cases: [{ id: 'x', effects }],
    });
    const settled = (settlement_mm: number) => ({ kind: 'support-settlement', support: 'P1', settlement_mm });
    const bearing = (side?: string) => ({ kind: 'bearing-loss', support: 'P1', ...(side && { side }) });
    const [first] = faultsOf(withEffects(settled(5), settled(50)));
    expect(first?.message).toBe(
      `${effect}/1/support: found support-settlement of "P1", already given at ${effect}/0; accepted: support-settlement once for a support in a case, with all that has happened to it.`,
    );
    const lost = (fraction: number) => ({ kind: 'support-stiffness-loss', support: 'P1', fraction });
    expect(codesOf(withEffects(lost(1), settled(5), lost(1)))).toEqual([
      `repeated-effect ${effect}/2/support`,
    ]);
    expect(codesOf(withEffects(bearing(), bearing()))).toEqual([`repeated-effect ${effect}/1/support`]);
    expect(codesOf(withEffects(bearing(), settled(5), { ...settled(5), support: 'A2' }))).toEqual([]);
  });

  it('take the loss of both bearings of a support one by one, but none twice', () => {
    const lost = (...sides: readonly (string | undefined)[]) => ({
      ...minimalScenario(),
      damage_cases: [
        {
          id: 'x',
          effects: sides.map((side) => ({ kind: 'bearing-loss', support: 'P1', ...(side && { side }) })),
        },
      ],
    });
    const repeated = (...sides: readonly (string | undefined)[]) =>
      codesOf(lost(...sides)).filter((code) => code.startsWith('repeated-effect'));
    expect(repeated('left', 'right')).toEqual([]);
    expect(repeated('left', 'left')).toEqual([`repeated-effect ${effect}/1/support`]);
    expect(repeated('left', undefined)).toEqual([`repeated-effect ${effect}/1/support`]);
  });

  it('let stretches overlap: what is lost twice is lost of what was left', () => {
    const lost = { kind: 'deck-stiffness-loss', span: 1, from_m: 2, to_m: 8, fraction: 0.5 };
    const effects = [lost, { ...lost, from_m: 4 }];
    expect(codesOf({ ...minimalScenario(), damage_cases: [{ id: 'x', effects }] })).toEqual([]);
  });

  it('want at least one effect', () => {
    expect(codesOf({ ...minimalScenario(), damage_cases: [{ id: 'x', effects: [] }] })).toEqual([
      'too-few /damage_cases/0/effects',
    ]);
  });
});

describe('rules across resistances and limits', () => {
  it('want a resistance entry per span and supports that exist', () => {
    expect(codesOf(fullScenarioWith('/resistance/spans', [null]))).toEqual([
      'count-mismatch /resistance/spans',
    ]);
    expect(codesOf(fullScenarioWith('/resistance/supports/0/id', 'P7'))).toEqual([
      'unknown-support /resistance/supports/0/id',
    ]);
    expect(codesOf(fullScenarioWith('/damage_cases/0/resistance/spans/0/span', 9))).toEqual([
      'unknown-span /damage_cases/0/resistance/spans/0/span',
    ]);
  });

  it('want own limits in the unit of the check, once each, in ascending speeds', () => {
    const own = '/limits/own_set/limits';
    expect(codesOf(fullScenarioWith(`${own}/0/unit`, 'rad'))).toEqual([`not-accepted ${own}/0/unit`]);
    const limit = { check: 'joint-step', kind: 'safety', unit: 'mm', source: 'house rule' };
    const steps = (...upTo: (number | null)[]) => upTo.map((up_to_kmh) => ({ up_to_kmh, value: 2 }));
    const set = (...limits: object[]) => fullScenarioWith(own, limits);
    expect(codesOf(set({ ...limit, steps: steps(160, 120) }))).toEqual([
      `not-ascending ${own}/0/steps/1/up_to_kmh`,
    ]);
    expect(codesOf(set({ ...limit, steps: steps(null, 120) }))).toEqual([
      `not-ascending ${own}/0/steps/1/up_to_kmh`,
    ]);
    const once = { ...limit, steps: steps(null) };
    expect(codesOf(set(once, once))).toEqual([`duplicate-name ${own}/1/check`]);
    expect(codesOf(set({ ...once, check: 'equilibrium', unit: '-' }))).toEqual([
      `not-applicable ${own}/0/check`,
    ]);
  });

  it('want every value of an own limit in the range that an override has', () => {
    const own = '/limits/own_set/limits';
    const set = (check: string, unit: string, ...values: number[]) =>
      fullScenarioWith(own, [
        {
          ...{ check, unit, kind: 'safety', source: 'house rule' },
          steps: values.map((value, index) => ({ up_to_kmh: 100 + index, value })),
        },
      ]);
    for (const id of checkId.options) {
      if (id === 'equilibrium') continue;
      const { unit, override } = checkUnits[id];
      expect(codesOf(set(id, unit, override.min, override.max))).toEqual([]);
      expect(codesOf(set(id, unit, override.max, override.max * 1.01, override.min * 0.99))).toEqual([
        `out-of-range ${own}/0/steps/1/value`,
        `out-of-range ${own}/0/steps/2/value`,
      ]);
    }
    expect(codesOf(set('deck-deflection', 'L/n', 100, 20_000))).toEqual([]);
    expect(faultsOf(set('deck-deflection', 'L/n', 20)).map(({ message }) => message)).toEqual([
      `${own}/0/steps/0/value: found 20; accepted: a number, 100 to 20000 (n of L/n), for deck-deflection.`,
    ]);
    expect(faultsOf(set('end-rotation', 'rad', 3.5)).map(({ message }) => message)).toEqual([
      `${own}/0/steps/0/value: found 3.5; accepted: a number, 1e-5 to 0.05 rad, for end-rotation. Was it given in mrad? Then write 0.0035 rad.`,
    ]);
  });

  it('let no check of safety be one of comfort, which would never close a line', () => {
    const own = '/limits/own_set/limits';
    const set = (check: string, unit: string, kind: string, value: number) =>
      fullScenarioWith(own, [
        { check, unit, kind, source: 'house rule', steps: [{ up_to_kmh: null, value }] },
      ]);
    expect(
      faultsOf(set('deck-deflection', 'L/n', 'comfort', 800)).map(({ code, message }) => [code, message]),
    ).toEqual([
      [
        'not-accepted',
        `${own}/0/kind: found the text "comfort"; accepted: safety for deck-deflection: comfort is what body-acceleration and ride-comfort may be.`,
      ],
    ]);
    for (const id of checkId.options) {
      if (id === 'equilibrium') continue;
      const { unit, kind, override } = checkUnits[id];
      const faults = kind === 'comfort' ? [] : [`not-accepted ${own}/0/kind`];
      expect(codesOf(set(id, unit, 'comfort', override.max))).toEqual(faults);
      expect(codesOf(set(id, unit, 'safety', override.max))).toEqual([]);
    }
  });

  it('name a value that no limit can have once', () => {
    const value = '/limits/own_set/limits/0/steps/0/value';
    expect(codesOf(fullScenarioWith(value, -1))).toEqual([`out-of-range ${value}`]);
    expect(codesOf(fullScenarioWith(value, 2e6))).toEqual([`out-of-range ${value}`]);
  });
});

describe('a support that is named', () => {
  const named = (id: string) => faultsOf(fullScenarioWith(`${effect}/0/support`, id));

  it('with a blank at its end is one fault, with the name that was meant', () => {
    const [first, ...rest] = named('P1 ');
    expect(rest).toEqual([]);
    expect([first?.code, first?.guess]).toEqual(['bad-name', 'Is the space a slip? Then write "P1".']);
  });

  it('with a letter that only looks like the right one is told which it is', () => {
    const [first] = named('\u04201');
    expect([first?.code, first?.guess]).toEqual([
      'unknown-support',
      "It has the letter \u0420 (U+0420), which no support's id has.",
    ]);
    expect(named('Q9')[0]?.guess).toBeNull();
  });
});
