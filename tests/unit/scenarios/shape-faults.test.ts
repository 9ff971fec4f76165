import { describe, expect, it } from 'vitest';
import { faultCodes } from '../../../scenarios/fault-codes.js';
import { codesOf, faultsOf, fullScenarioWith } from './faults-of.js';

describe('a key', () => {
  it.each([
    ['/deck/spans/1/length', '/deck/spans/1/length_m', 'length_m'],
    ['/deck/spans/1/length_mm', '/deck/spans/1/length_m', 'length_m'],
    ['/deck/spans/1/mass', '/deck/spans/1/mass_kg_per_m', 'mass_kg_per_m'],
    ['/deck/spans/1/flexuralRigidity', '/deck/spans/1/flexural_rigidity_N_m2', 'flexural_rigidity_N_m2'],
    ['/supports/1/stifness_N_per_m', '/supports/1/stiffness_N_per_m', 'stiffness_N_per_m'],
    ['/line/speed', '/line/speed_kmh', 'speed_kmh'],
    ['/trains/0/loadModel', '/trains/0/load_model', 'load_model'],
    ['/deck/damping', '/deck/material', null],
  ])('written as %s is one fault, with the key that was meant', (wrong, right, meant) => {
    const document = fullScenarioWith(right, undefined);
    const parent = wrong.slice(1, wrong.lastIndexOf('/')).split('/');
    let target = document;
    for (const part of parent) target = Reflect.get(Object(target), part);
    Reflect.set(Object(target), wrong.slice(wrong.lastIndexOf('/') + 1), 30);
    const unknown = faultsOf(document).filter((one) => one.code === 'unknown-key');
    expect(unknown.map((one) => one.pointer)).toEqual([wrong]);
    expect(faultsOf(document).filter((one) => one.code === 'missing-key')).toEqual([]);
    if (meant !== null) expect(unknown[0]?.guess).toContain(`"${meant}"`);
  });

  it.each([
    ['/overspeed_factor', 'decision.overspeed_factor'],
    ['/deck/stiffness_factors', 'decision.bounds.stiffness_factors'],
    ['/flexural_rigidity_N_m2', null],
    ['/deck/start_chainage_km', 'line.start_chainage_km'],
    ['/line/uplift_resistance_kN', 'supports[].uplift_resistance_kN'],
  ])('put at %s is told where it belongs, if that is one place', (pointer, place) => {
    const [first] = faultsOf(fullScenarioWith(pointer, 1.2));
    expect([first?.code, first?.pointer]).toEqual(['unknown-key', pointer]);
    expect(first?.guess).toBe(place === null ? null : `Does it belong at "${place}"?`);
  });

  it('that is nothing like any other is refused without a guess', () => {
    const [first] = faultsOf(fullScenarioWith('/weather', 'rain'));
    expect([first?.code, first?.pointer, first?.guess]).toEqual(['unknown-key', '/weather', null]);
  });

  it('with slashes and tildes keeps a valid JSON pointer', () => {
    expect(codesOf(fullScenarioWith('/deck', { 'a/b~c': 1 }))).toContain('unknown-key /deck/a~1b~0c');
  });

  it('named __proto__ is refused like any other unknown key', () => {
    const text = JSON.stringify(fullScenarioWith('/notes', 'x')).replace('"notes"', '"__proto__"');
    expect(codesOf(text)).toEqual(['unknown-key /__proto__']);
  });

  it.each(['/line', '/line/speed_kmh', '/deck', '/supports', '/trains', '/supports/0/id'])(
    'that must be there is missed: %s',
    (pointer) => {
      expect(codesOf(fullScenarioWith(pointer, undefined))).toContain(`missing-key ${pointer}`);
    },
  );
});

describe('a number', () => {
  it.each([
    ['/deck/spans/1/length_m', 0],
    ['/deck/spans/1/length_m', -30],
    ['/deck/spans/1/length_m', 1001],
    ['/deck/spans/1/mass_kg_per_m', 0],
    ['/deck/spans/1/flexural_rigidity_N_m2', -1e11],
    ['/supports/1/stiffness_N_per_m', 0],
    ['/line/speed_kmh', 0],
    ['/speeds/step_kmh', 0],
    ['/trains/3/axles/0/load_kN', 0],
    ['/damage_cases/0/effects/0/fraction', 0],
    ['/damage_cases/0/effects/0/fraction', 1.01],
    ['/damage_cases/0/effects/3/span', 0],
    ['/decision/overspeed_factor', 0.9],
    ['/decision/bounds/mass_factors/0', 3],
    ['/limits/overrides/bending', 2],
    ['/track/slab/mass_kg_per_m', 0],
    ['/track/fastening/clamping_force_kN', 0],
  ])('at %s may not be %d', (pointer, value) => {
    const faults = faultsOf(fullScenarioWith(pointer, value)).filter((one) => one.pointer === pointer);
    expect(faults.map((one) => one.code)).toEqual(['out-of-range']);
  });

  it.each([
    ['/deck/spans/1/length_m', 30000, 'mm', '30 m'],
    ['/deck/spans/1/mass_kg_per_m', 15, 't/m', '15000 kg/m'],
    ['/deck/spans/1/flexural_rigidity_N_m2', 1.1e5, 'MN m2', '1.1e11 N m2'],
    ['/supports/1/stiffness_N_per_m', 3e4, 'kN/m', '3e7 N/m'],
    ['/supports/1/stiffness_N_per_m', 3e3, 'kN/mm', '3e9 N/m'],
    ['/track/fastening/stiffness_N_per_m', 8e4, 'kN/m', '8e7 N/m'],
    ['/track/fastening/spacing_m', 650, 'mm', '0.65 m'],
    ['/track/fastening/clamping_force_kN', 36000, 'in N?', '36 kN'],
    ['/track/fastening/compression_stiffness_N_per_m', 1.2e5, 'kN/m', '1.2e8 N/m'],
    ['/track/rail/section_modulus_m3', 750, 'cm3', '7.5e-4 m3'],
    ['/track/bedding/stiffness_N_per_m2', 6e4, 'kN/m2', '6e7'],
    ['/track/rail/flexural_rigidity_N_m2', 12760, 'kN m2', '1.276e7 N m2'],
    ['/trains/3/axles/0/load_kN', 22.5, 'in t?', '220.725 kN'],
    ['/trains/3/axles/0/load_kN', 220000, 'in N?', '220 kN'],
    ['/resistance/spans/0/sagging_kNm', 4e7, 'N m', '40000 kNm'],
    ['/damage_cases/0/effects/0/fraction', 50, 'per cent', '0.5'],
    ['/damage_cases/0/effects/1/settlement_mm', 0.012, 'in m?', '12 mm'],
    ['/deck/damping_ratio', 1, 'per cent', '0.01'],
    ['/line/start_chainage_km', 123400, 'in m?', '123.4 km'],
    ['/line/start_chainage_km', 12340, 'in m?', '12.34 km'],
  ])('at %s given as %d gets a guess at the unit', (pointer, value, unit, meant) => {
    const [first] = faultsOf(fullScenarioWith(pointer, value)).filter((one) => one.pointer === pointer);
    expect(first?.code).toBe('out-of-range');
    expect(first?.guess).toContain(unit);
    expect(first?.guess).toContain(meant);
  });

  it('with the sign turned round is guessed', () => {
    const [first] = faultsOf(fullScenarioWith('/deck/spans/1/length_m', -30));
    expect(first?.guess).toContain('minus sign');
  });

  it.each([
    ['"30"', 'Write 30 without quotes.'],
    ['"30,5"', 'Write 30.5 without quotes.'],
    ['"thirty"', null],
    ['null', null],
    ['[30]', null],
    ['true', null],
  ])('may not be %s', (text, guess) => {
    const [first] = faultsOf(fullScenarioWith('/deck/spans/1/length_m', JSON.parse(text)));
    expect([first?.code, first?.pointer]).toEqual(['wrong-type', '/deck/spans/1/length_m']);
    expect(first?.accepted).toContain('1 to 500 m');
    expect(first?.guess).toBe(guess);
  });

  it('too large for a computer is out of range, not silently infinite', () => {
    const text = JSON.stringify(fullScenarioWith('/deck/spans/1/length_m', 12345)).replace('12345', '1e999');
    expect(codesOf(text)).toEqual(['out-of-range /deck/spans/1/length_m']);
  });

  it('that counts spans starts at 1, and the fault says so', () => {
    const pointer = '/damage_cases/0/effects/3/span';
    const [first] = faultsOf(fullScenarioWith(pointer, 0)).filter((one) => one.pointer === pointer);
    expect(first?.accepted).toContain('counted from 1');
    expect(first?.guess).toContain('starts at 1');
  });
});

describe('a word', () => {
  it.each([
    ['/trains/0/load_model', 'HSLM-a1', 'HSLM-A1'],
    ['/deck/material', 'prestressed concrete', 'prestressed-concrete'],
    ['/damage_cases/0/effects/2/kind', 'bearing-los', 'bearing-loss'],
    ['/damage_cases/0/effects/2/kind', 'settlement', 'support-settlement'],
    ['/damage_cases/0/effects/2/kind', 'support-loss', 'support-stiffness-loss'],
    ['/limits/set', 'en1990-a2', 'en-1990-a2'],
  ])('at %s that is not accepted is met with those that are and the nearest', (pointer, value, nearest) => {
    const [first] = faultsOf(fullScenarioWith(pointer, value)).filter((one) => one.pointer === pointer);
    expect(first?.code).toBe('not-accepted');
    expect(first?.accepted).toContain(nearest);
    expect(first?.guess).toContain(`"${nearest}"`);
  });

  it.each(['', ' P1', 'P1 ', 'P\n1', '<b>', 'x'.repeat(61), '../up'])('is no name of a support: %j', (id) => {
    expect(codesOf(fullScenarioWith('/supports/0/id', id))).toContain('bad-name /supports/0/id');
  });

  it('of an unknown check among the overrides is an unknown key', () => {
    const [first] = faultsOf(fullScenarioWith('/limits/overrides/deck-accelaration', 5));
    expect(first?.code).toBe('unknown-key');
  });
});

describe('the size of a list', () => {
  it('of axles is bounded, with the bound named and nothing said of what stands in it', () => {
    const axles = Array.from({ length: 100_000 }, () => ({ at: 'nowhere' }));
    const faults = faultsOf(fullScenarioWith('/trains/3/axles', axles));
    expect(faults.map((one) => `${one.code} ${one.pointer} ${one.accepted}`)).toEqual([
      'too-many /trains/3/axles at most 2000 entries',
    ]);
  });

  it.each([
    ['/deck/spans', 201, 'at most 200'],
    ['/trains', 201, 'at most 200'],
    ['/damage_cases', 501, 'at most 500'],
  ])('%s may not have %d entries', (pointer, count, accepted) => {
    const faults = faultsOf(fullScenarioWith(pointer, Array(count).fill({})));
    const [first] = faults.filter((one) => one.pointer === pointer);
    expect([first?.code, first?.accepted]).toEqual(['too-many', `${accepted} entries`]);
  });

  it('of the faults is bounded too, and the rest is counted', () => {
    const axles = Array.from({ length: 1500 }, () => 'axle');
    const faults = faultsOf(fullScenarioWith('/trains/3/axles', axles));
    expect(faults).toHaveLength(1001);
    expect(faults.at(-1)?.code).toBe('more-faults');
    expect(faults.at(-1)?.found).toBe('about 500 faults more');
  });
});

describe('several faults', () => {
  it('are all listed, across keys too, each once and with a code of the table', () => {
    const document = fullScenarioWith('/deck/spans/1/length_m', -1);
    Reflect.set(Object(document), 'weather', 'rain');
    Reflect.get(Object(document), 'supports').push({ id: 'P1' });
    Reflect.get(Object(document), 'trains')[0].load_model = 'HSLM-C1';
    const faults = faultsOf(document);
    expect(faults.map((one) => `${one.code} ${one.pointer}`).sort()).toEqual([
      'count-mismatch /supports',
      'duplicate-name /supports/3/id',
      'not-accepted /trains/0/load_model',
      'out-of-range /deck/spans/1/length_m',
      'unknown-key /weather',
    ]);
    for (const one of faults) expect(faultCodes).toHaveProperty([one.code]);
  });
});
