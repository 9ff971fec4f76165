import { describe, expect, it } from 'vitest';
import { translateScenario } from '../../../scenarios/translate.js';
import { fullScenario, minimalScenario, twoTrackScenario } from './minimal-scenario.js';
import { readValid } from './read-valid.js';

const full = translateScenario(readValid(fullScenario()));
const minimal = translateScenario(readValid(minimalScenario()));
const withKeys = (keys: object) => translateScenario(readValid({ ...minimalScenario(), ...keys }));

describe('the translated structure', () => {
  it('has segments where the file has them and one segment per span elsewhere', () => {
    expect(full.viaduct.spans.map((span) => span.segments.map((segment) => segment.length))).toEqual([
      [10, 20],
      [30],
    ]);
    expect(full.viaduct.spans[0]?.segments[0]?.shearRigidity).toBe(2e10);
    expect(full.viaduct.spans[0]?.segments[1]?.shearRigidity).toBeNull();
  });

  it('has rigid supports as infinitely stiff and forces in newtons', () => {
    expect(full.viaduct.supports[0]).toEqual({
      id: 'A1',
      stiffness: Number.POSITIVE_INFINITY,
      settlement: 0,
      joint: false,
      bearing: true,
      upliftResistance: 100e3,
    });
    expect(full.viaduct.supports[1]?.stiffness).toBe(3e9);
  });

  it('has damping from the material by its longest span, the lowest of all', () => {
    expect(full.viaduct.dampingRatio).toBe(0.01);
    const span = (length_m: number) => ({ length_m, mass_kg_per_m: 9000, flexural_rigidity_N_m2: 5e9 });
    const deck = { spans: [span(8), span(12)], material: 'steel' };
    expect(withKeys({ deck }).viaduct.dampingRatio).toBeCloseTo(0.005 + 0.00125 * 8, 12);
  });

  it('has its track, or none', () => {
    expect(minimal.viaduct.track).toBeNull();
    expect(full.viaduct.track?.bedding).toEqual({ stiffnessPerLength: 6e7, dampingPerLength: 5e4 });
    expect(full.viaduct.track?.slab?.panelLength).toBeNull();
  });
});

describe('the translated torsion', () => {
  const { viaduct, meeting, damageCases } = translateScenario(readValid(twoTrackScenario()));

  it('has sections that turn, pairs of bearings, tracks beside the axis and one bearing lost', () => {
    expect(viaduct.spans[0]?.segments[0]?.torsion).toEqual({ rigidity: 7e10, rotaryInertia: 1.2e5 });
    expect(viaduct.supports.map(({ bearingSpread }) => bearingSpread)).toEqual([4, 4, 4]);
    expect(viaduct.tracks).toEqual([{ eccentricity: -2.1 }, { eccentricity: 2.1 }]);
    expect(damageCases[1]?.effects).toEqual([{ kind: 'bearing-loss', support: 'P1', side: 'left' }]);
  });

  it('lets trains meet unless the file says otherwise', () => {
    expect(meeting).toBe('one-track');
    expect(minimal.meeting).toBe('all-tracks');
  });

  it('is left out where the file leaves it out', () => {
    expect(minimal.viaduct.tracks).toBeUndefined();
    expect(minimal.viaduct.spans[0]?.segments[0]).not.toHaveProperty('torsion');
  });
});

describe('the translated speeds', () => {
  it('reach overspeed factor times line speed by default, from 10 in steps of 5 km/h', () => {
    expect(minimal.speedsKmh[0]).toBe(10);
    expect(minimal.speedsKmh[1]).toBe(15);
    expect(minimal.speedsKmh.at(-1)).toBe(240);
    expect(minimal.speedsKmh).toHaveLength(47);
  });

  it('contain the last speed even when the step misses it', () => {
    expect(full.speedsKmh).toEqual([20, 40, 60, 80, 100, 120, 140, 160, 180, 200, 220, 230]);
  });

  it('do not repeat the last speed, nor drift, with a step that has no exact binary form', () => {
    const { speedsKmh } = withKeys({ speeds: { from_kmh: 10, to_kmh: 11, step_kmh: 0.1 } });
    expect(speedsKmh).toEqual([10, 10.1, 10.2, 10.3, 10.4, 10.5, 10.6, 10.7, 10.8, 10.9, 11]);
  });

  it('begin with the only one there is when the line is slower than the default first speed', () => {
    expect(withKeys({ line: { speed_kmh: 5 } }).speedsKmh).toEqual([6]);
  });
});

describe('translated damage', () => {
  it('has the intact case first, without effects', () => {
    expect(full.damageCases.map((one) => one.id)).toEqual(['intact', 'everything']);
    expect(minimal.damageCases).toEqual([
      { id: 'intact', title: null, effects: [], resistance: null, supportsJudgedAsBuilt: [] },
    ]);
  });

  it('counts spans from 0 and settles in metres', () => {
    expect(full.damageCases[1]?.effects).toEqual([
      { kind: 'support-stiffness-loss', support: 'P1', fraction: 0.5 },
      { kind: 'support-settlement', support: 'A2', settlement: 0.012 },
      { kind: 'bearing-loss', support: 'A1' },
      { kind: 'deck-stiffness-loss', span: 0, from: 12, to: 18, fraction: 0.3 },
      { kind: 'bedding-loss', from: 20, to: 40, fraction: 0.7 },
      { kind: 'fastening-loss', from: 25, to: 28, fraction: 1 },
    ]);
  });
});

describe('translated resistances', () => {
  it('name the supports that a case has touched and that are judged as they were built', () => {
    const ids = ['A1', 'P1', 'P2', 'A2'];
    const asBuilt = (effects: readonly object[], own: readonly string[] = []) =>
      withKeys({
        deck: {
          spans: ids
            .slice(1)
            .map(() => ({ length_m: 30, mass_kg_per_m: 14000, flexural_rigidity_N_m2: 8e10 })),
          damping_ratio: 0.01,
        },
        supports: ids.map((id) => ({ id, stiffness_N_per_m: 3e9 })),
        resistance: { supports: ids.map((id) => ({ id, reaction_kN: 9000 })) },
        damage_cases: [
          {
            id: 'hit',
            effects,
            ...(own.length > 0 && { resistance: { supports: own.map((id) => ({ id, reaction_kN: 8000 })) } }),
          },
        ],
      }).damageCases[1]!.supportsJudgedAsBuilt;
    const loss = (support: string, fraction: number) => ({
      kind: 'support-stiffness-loss',
      support,
      fraction,
    });
    const settled = { kind: 'support-settlement', support: 'P2', settlement_mm: 9 };
    expect(asBuilt([loss('P1', 0.9), settled])).toEqual(['P1', 'P2']);
    expect(asBuilt([loss('P1', 0.9), settled], ['P1'])).toEqual(['P2']);
    expect(asBuilt([loss('P1', 1)])).toEqual([]);
    expect(asBuilt([{ kind: 'bearing-loss', support: 'P1' }])).toEqual([]);
  });

  const resistance = { spans: [{ sagging_kNm: 40000 }, { shear_kN: 5000 }], supports: [] };
  const cracked = { kind: 'deck-stiffness-loss', span: 1, from_m: 5, to_m: 25, fraction: 0.2 };
  const resistances = (damageCase: object) =>
    withKeys({ resistance, damage_cases: [{ id: 'x', ...damageCase }] }).damageCases.map(
      (one) => one.resistance,
    );

  it('are in newtons, null where nothing is given', () => {
    expect(full.resistance?.spans).toEqual([{ sagging: 40e6, hogging: 45e6, shear: 6e6 }, null]);
    expect(full.resistance?.supportReaction).toEqual(new Map([['P1', 12e6]]));
    expect(minimal.resistance).toBeNull();
  });

  it('of a span that lost stiffness are unknown unless the case gives them', () => {
    const [intact, damaged] = resistances({ effects: [cracked] });
    expect(intact?.spans[0]).toEqual({ sagging: 40e6, hogging: null, shear: null });
    expect(damaged?.spans).toEqual([null, { sagging: null, hogging: null, shear: 5e6 }]);
    const given = resistances({
      effects: [cracked],
      resistance: { spans: [{ span: 1, sagging_kNm: 25000 }] },
    });
    expect(given[1]?.spans[0]).toEqual({ sagging: 25e6, hogging: null, shear: null });
  });

  it('of a support are the case’s own where it gives them', () => {
    expect(full.damageCases.map((one) => one.resistance?.supportReaction.get('P1'))).toEqual([12e6, 9e6]);
  });

  it('stay unknown in every case when the scenario gives none', () => {
    expect(
      withKeys({ damage_cases: [{ id: 'x', effects: [cracked] }] }).damageCases[1]?.resistance,
    ).toBeNull();
  });
});

describe('translated trains', () => {
  const trains = full.trains;

  it('keep file order and class, and a load model goes by its own name unless it has another', () => {
    const names = trains.map((one) => (one.kind === 'moving' ? one.train : one.model));
    expect(names.map((one) => [one.id, one.class])).toEqual([
      ['HSLM-A1', 'high-speed'],
      ['coal', 'freight'],
      ['LM71', 'freight'],
      ['shuttle', 'passenger'],
    ]);
  });

  it('run tail first where reversed, still ascending from 0', () => {
    const shuttle = trains[3];
    if (shuttle?.kind !== 'moving') throw new Error('a moving train');
    expect([...shuttle.train.positions]).toEqual([0, 2.5, 17.5, 20]);
    expect([...shuttle.train.loads]).toEqual([140e3, 140e3, 150e3, 150e3]);
  });

  it('have a static load model with its dynamic factor for the determinant length', () => {
    const lm71 = trains[2];
    if (lm71?.kind !== 'static') throw new Error('a static load model');
    // Two continuous spans of 30 m: 1.2 x 30 = 36 m, phi2 = 1.44 / (6 - 0.2) + 0.82.
    expect(lm71.model.dynamicFactor).toBeCloseTo(1.44 / 5.8 + 0.82, 12);
    expect(lm71.model.lineLoads).toEqual([{ load: 80e3, length: null, gap: 0.8 }]);
    expect(lm71.upToKmh).toBe(200);
  });

  it('take the larger factor for standard maintenance, and for spans cut by joints', () => {
    const factor = (joint: boolean) => {
      const supports = [{ id: 'A1' }, { id: 'P1', joint }, { id: 'A2' }];
      const [only] = withKeys({ supports, trains: [{ load_model: 'SW/2' }] }).trains;
      return only?.kind === 'static' ? only.model.dynamicFactor : 0;
    };
    expect(factor(false)).toBeCloseTo(2.16 / 5.8 + 0.73, 12);
    expect(factor(true)).toBeCloseTo(2.16 / (Math.sqrt(30) - 0.2) + 0.73, 12);
  });

  it('take the largest factor of their formula for slab and rails, which are short whatever the span', () => {
    const { trains: both } = withKeys({
      trains: [{ id: 'phi2', load_model: 'LM71', dynamic_factor: 'phi2' }, { load_model: 'LM71' }],
    });
    expect(both.map((entry) => entry.kind === 'static' && entry.model.trackFactor)).toEqual([1.67, 2]);
  });
});

describe('translated limits', () => {
  it('are the named set’s, in the unit of the check, with their sources', () => {
    const acceleration = minimal.limits.get('deck-acceleration');
    expect(acceleration?.steps).toEqual([{ upToKmh: Number.POSITIVE_INFINITY, value: 5 }]);
    expect(acceleration?.source).toContain('(mem)');
    const deflection = minimal.limits.get('deck-deflection');
    expect([deflection?.unit, deflection?.perSpan, deflection?.steps[0]?.value]).toEqual(['mm', true, 600]);
    const ballasted = withKeys({ limits: { set: 'en-1990-a2-ballasted' } }).limits;
    expect(ballasted.get('deck-acceleration')?.steps[0]?.value).toBe(3.5);
    expect(ballasted.size).toBe(minimal.limits.size);
  });

  it('give way to an own set, and both to overrides, and say so', () => {
    expect(full.limits.get('deck-deflection')?.steps[0]?.value).toBe(800);
    expect(full.limits.get('deck-acceleration')?.steps[0]?.value).toBe(3.5);
    expect(full.limits.get('deck-acceleration')?.source).toContain('override');
    const absolute = withKeys({ limits: { overrides: { 'deck-deflection': 20 } } }).limits.get(
      'deck-deflection',
    );
    expect([absolute?.unit, absolute?.perSpan, absolute?.steps[0]?.value]).toEqual(['mm', false, 20]);
  });

  it('do not permit by override what the set leaves without a limit: speeds beyond its last step', () => {
    const geometry = withKeys({ limits: { overrides: { 'track-geometry': 10 } } }).limits.get(
      'track-geometry',
    );
    expect(geometry?.steps).toEqual([{ upToKmh: 300, value: 10 }]);
  });
});

describe('translated bounds', () => {
  it('always contain the nominal value, first', () => {
    expect(full.bounds).toEqual({
      stiffnessFactors: [1, 0.9, 1.1],
      massFactors: [1],
      dampingFactors: [1, 0.8],
    });
  });
});
