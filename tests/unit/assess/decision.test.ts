import { describe, expect, it } from 'vitest';
import { result as resultSchema } from '../../../scenarios/result.js';
import { amplyResistant, assess, caseOf, smallScenario, trainOf } from './assess-scenario.js';

const lost = (support: string) => ({
  id: 'lost',
  effects: [{ kind: 'support-stiffness-loss', support, fraction: 1 }],
});
const joints = (count: number) =>
  Array.from({ length: count + 1 }, (_, index) => ({ id: `S${index}`, stiffness_N_per_m: 3e9, joint: true }));

describe('an intact viaduct', () => {
  it('without resistances is judged on the rest and says that strength was not checked', () => {
    const result = assess(smallScenario(2));
    expect(resultSchema.safeParse(result).error).toBeUndefined();
    const train = trainOf(result, 'intact');
    expect(train.status).toBe('line-speed');
    expect(train.permitted_speed_kmh).toBe(160);
    expect(train.reason).toContain('Strength was not checked at all: ');
    expect(train.checks.find((check) => check.id === 'bending')?.evidence).toBe('missing');
  });

  it('with resistances has evidence for every check', () => {
    const train = trainOf(assess(smallScenario(2, { resistance: amplyResistant(2) })), 'intact');
    expect(train.status).toBe('line-speed');
    expect(train.missing).toEqual([]);
    for (const check of train.checks) expect(check.evidence).toBe('given');
    for (const check of train.checks) expect(check.utilisation).toBeGreaterThanOrEqual(0);
  });

  it('is restricted where the deck acceleration passes its limit, with the crossing found to 1 km/h', () => {
    const limits = { overrides: { 'deck-acceleration': 0.9 } };
    const train = trainOf(assess(smallScenario(1, { limits, resistance: amplyResistant(1) })), 'intact');
    expect(train.status).toBe('restricted');
    expect(train.governing).toBe('deck-acceleration');
    const { speed_kmh: speeds, deck_acceleration_m_per_s2: acceleration } = train.sweep;
    const first = acceleration!.findIndex((value) => value > 0.9);
    expect(speeds[first]! - speeds[first - 1]!).toBeLessThanOrEqual(1);
    expect(train.permitted_speed_kmh).toBe(Math.floor(speeds[first - 1]! / 1.2 / 5) * 5);
    const quoted = Number(/^At (\S+) km\/h deck acceleration/.exec(train.reason)?.[1]);
    expect(quoted).toBeGreaterThanOrEqual(speeds[first]!);
    expect(quoted).toBeLessThan(speeds[first]! + 0.1);
  });

  it('is closed when strength fails even at walking pace', () => {
    const weak = { ...amplyResistant(1), spans: [{ sagging_kNm: 1e4, hogging_kNm: 1e4, shear_kN: 2e4 }] };
    const train = trainOf(assess(smallScenario(1, { resistance: weak })), 'intact');
    expect(train).toMatchObject({ status: 'closed', permitted_speed_kmh: null, governing: 'bending' });
  });

  it('can never be permitted more than the end of the sweep over the overspeed factor', () => {
    const speeds = { from_kmh: 40, to_kmh: 120, step_kmh: 40 };
    const train = trainOf(assess(smallScenario(1, { speeds, resistance: amplyResistant(1) })), 'intact');
    expect(train).toMatchObject({ status: 'restricted', permitted_speed_kmh: 100 });
  });

  it('is closed where the sweep ends before the first step', () => {
    const speeds = { from_kmh: 5, to_kmh: 10, step_kmh: 5 };
    const decision = { round_down_to_kmh: 10 };
    const train = trainOf(assess(smallScenario(1, { speeds, decision })), 'intact');
    expect(train).toMatchObject({ status: 'closed', permitted_speed_kmh: null });
    expect(train.reason).toMatch(/^Keep the line closed: nothing above 10 km\/h was assessed/);
  });
});

describe('a lost pier', () => {
  it('under simply supported spans is a mechanism, and both spans that fell are named', () => {
    const supports = joints(3);
    const result = assess(
      smallScenario(3, { supports, resistance: amplyResistant(3), damage_cases: [lost('S1')] }),
    );
    const one = caseOf(result, 'lost');
    expect(one.stable).toBe(false);
    expect(one.statics).toBeNull();
    expect(one.mechanism).toContain('Spans 1 and 2');
    expect(trainOf(result, 'lost')).toMatchObject({ status: 'closed', governing: 'equilibrium' });
    expect(trainOf(result, 'lost').reason).toMatch(/^Keep the line closed: spans 1 and 2 cannot stand/);
  });

  it('is a mechanism even where rails and slab run on across the joints', () => {
    const track = {
      rail: { mass_kg_per_m: 120, flexural_rigidity_N_m2: 12.76e6 },
      fastening: { spacing_m: 0.65, stiffness_N_per_m: 80e6, damping_N_s_per_m: 60e3 },
      slab: { mass_kg_per_m: 1600, flexural_rigidity_N_m2: 2.3e8, panel_length_m: null },
      bedding: { stiffness_N_per_m2: 1e8, damping_N_s_per_m2: 5e4 },
    };
    const speeds = { from_kmh: 180, to_kmh: 192, step_kmh: 12 };
    const result = assess(
      smallScenario(2, { supports: joints(2), track, speeds, damage_cases: [lost('S1')] }),
    );
    expect(trainOf(result, 'lost')).toMatchObject({ status: 'closed', governing: 'equilibrium' });
  });

  it('under a continuous deck is not: dead load goes to the supports that still stand', () => {
    const result = assess(smallScenario(3, { resistance: amplyResistant(3), damage_cases: [lost('S1')] }));
    const one = caseOf(result, 'lost');
    expect(one.stable).toBe(true);
    expect(one.statics!.reactions_kN.S1).toBe(0);
    const weight = 90 * 14 * 9.81;
    const sum = Object.values(one.statics!.reactions_kN).reduce((total, reaction) => total + reaction, 0);
    expect(sum / weight).toBeCloseTo(1, 6);
    expect(one.statics!.sag_mm).toBeGreaterThan(caseOf(result, 'intact').statics!.sag_mm);
    expect(one.frequencies_Hz[0]!).toBeLessThan(caseOf(result, 'intact').frequencies_Hz[0]!);
  });

  it('without resistances is undetermined, with the list of what to supply', () => {
    const limits = {
      overrides: { 'track-geometry': 50, 'deck-deflection': 500, 'end-rotation': 0.05, 'joint-step': 20 },
    };
    const supports = [
      { id: 'S0', uplift_resistance_kN: 5000 },
      { id: 'S1', stiffness_N_per_m: 3e9 },
      { id: 'S2', stiffness_N_per_m: 3e9 },
      { id: 'S3', uplift_resistance_kN: 5000 },
    ];
    const effects = [{ kind: 'support-stiffness-loss', support: 'S1', fraction: 0.5 }];
    const result = assess(smallScenario(3, { supports, limits, damage_cases: [{ id: 'half', effects }] }));
    const train = trainOf(result, 'half');
    expect(train).toMatchObject({ status: 'undetermined', permitted_speed_kmh: null });
    expect(train.missing).toContain('the sagging resistance of span 1');
    expect(train.missing).toContain('the load that support S1 can carry');
    expect(result.recommendations.find((one) => one.damage_case === 'half')).toMatchObject({
      status: 'undetermined',
    });
  });
});

describe('dead load that pulls on a bearing', () => {
  const short = [{ length_m: 12 }, { length_m: 36 }].map((span) => ({
    ...span,
    mass_kg_per_m: 14_000,
    flexural_rigidity_N_m2: 8e10,
  }));
  const deck = { spans: short, damping_ratio: 0.02 };

  it('closes the case and reports the statics twice', () => {
    const damage = { id: 'sunk', effects: [{ kind: 'support-settlement', support: 'S2', settlement_mm: 1 }] };
    const result = assess(smallScenario(2, { deck, resistance: amplyResistant(2), damage_cases: [damage] }));
    const one = caseOf(result, 'intact');
    expect(one.statics!.reactions_kN.S0!).toBeLessThan(0);
    expect(one.statics_released).toMatchObject({ lifted: ['S0'], stable: true });
    expect(one.statics_released!.statics!.reactions_kN.S0).toBe(0);
    for (const reaction of Object.values(one.statics_released!.statics!.reactions_kN)) {
      expect(reaction).toBeGreaterThanOrEqual(0);
    }
    expect(trainOf(result, 'intact')).toMatchObject({ status: 'closed', governing: 'bearing-uplift' });
    expect(trainOf(result, 'intact').reason).toMatch(/^Keep the line closed: dead load alone lifts/);
  });

  it('is carried where the support can take the pull', () => {
    const supports = [
      { id: 'S0', stiffness_N_per_m: 3e9, uplift_resistance_kN: 9000 },
      { id: 'S1', stiffness_N_per_m: 3e9 },
      { id: 'S2', stiffness_N_per_m: 3e9 },
    ];
    const train = trainOf(
      assess(smallScenario(2, { deck, supports, resistance: amplyResistant(2) })),
      'intact',
    );
    expect(train.status).not.toBe('closed');
    const uplift = train.checks.find((check) => check.id === 'bearing-uplift')!;
    expect(uplift.utilisation).toBeGreaterThan(0);
    expect(uplift.utilisation).toBeLessThan(1);
  });
});

describe('a settled pier', () => {
  it('caps the speed by the speed classes of the track geometry limit', () => {
    const effects = [{ kind: 'support-settlement', support: 'S1', settlement_mm: 60 }];
    const damage = [{ id: 'sunk', effects }];
    const train = trainOf(
      assess(smallScenario(2, { supports: joints(2), resistance: amplyResistant(2), damage_cases: damage })),
      'sunk',
    );
    const geometry = train.checks.find((check) => check.id === 'track-geometry')!;
    // A kink of 60 mm in 30 m on both sides: 25 mm over a chord of 25 m, allowed up to 120 km/h.
    expect(geometry.value).toBeCloseTo(25, 1);
    expect(train).toMatchObject({
      status: 'restricted',
      permitted_speed_kmh: 100,
      governing: 'track-geometry',
    });
    // Up to 120 km/h 26 mm are allowed, and met.
    expect(train.reason).toMatch(
      /^At 121 km\/h track level after the damage 25 against 23 mm \(track 30\.0 m from support S0\)/,
    );
  });

  it('is held to the speed at which the limits of the track geometry end, and the reason names it', () => {
    const effects = [{ kind: 'support-settlement', support: 'S1', settlement_mm: 5 }];
    const train = trainOf(
      assess(
        smallScenario(2, {
          line: { speed_kmh: 280 },
          speeds: { from_kmh: 200, to_kmh: 336, step_kmh: 34 },
          supports: joints(2),
          resistance: amplyResistant(2),
          limits: { overrides: { 'joint-step': 20, 'end-rotation': 0.05, 'deck-acceleration': 20 } },
          damage_cases: [{ id: 'sunk', effects }],
        }),
      ),
      'sunk',
    );
    expect(train.reason).toMatch(
      /^The limits of track level after the damage end at 300 km\/h; 250 km\/h keeps/,
    );
    expect(train.permitted_speed_kmh).toBe(250);
  });
});

describe('a static load model', () => {
  it('is judged at any speed by its code factor and has no acceleration', () => {
    const result = assess(
      smallScenario(1, { trains: [{ load_model: 'LM71' }], resistance: amplyResistant(1) }),
    );
    const train = trainOf(result, 'intact', 'LM71');
    expect(train.status).toBe('line-speed');
    expect(train.checks.map((check) => check.id)).not.toContain('deck-acceleration');
    const bending = train.checks.find((check) => check.id === 'bending')!;
    // Midspan, by hand: four axles of 250 kN at +-0.8 and +-2.4 m and 80 kN/m beyond +-3.2 m.
    const influence = (x: number) => Math.max(0, 7.5 - Math.abs(x) / 2);
    let train71 = [-2.4, -0.8, 0.8, 2.4].reduce((sum, x) => sum + 250 * influence(x), 0);
    train71 += 2 * 80 * (influence(3.2) * 11.8) * 0.5;
    const factor =
      result.cases[0]!.trains[0]!.checks.length > 0 ? (bending.value! - (14 * 9.81 * 900) / 8) / train71 : 0;
    const phi2 = 1.44 / (Math.sqrt(30) - 0.2) + 0.82;
    const phi3 = 2.16 / (Math.sqrt(30) - 0.2) + 0.73;
    const nearest = Math.abs(factor - phi2) < Math.abs(factor - phi3) ? phi2 : phi3;
    expect(factor / nearest).toBeCloseTo(1, 2);
  });

  const onLineOf = (speed_kmh: number, changes: Record<string, unknown> = {}) =>
    trainOf(
      assess(
        smallScenario(1, {
          line: { speed_kmh },
          trains: [{ load_model: 'SW/0' }],
          speeds: { from_kmh: 40, to_kmh: 1.2 * speed_kmh, step_kmh: 40 },
          resistance: amplyResistant(1),
          ...changes,
        }),
      ),
      'intact',
      'SW/0',
    );

  it('says nothing of trains above 200 km/h, overspeed included, since it knows no vibration', () => {
    expect(onLineOf(160)).toMatchObject({ status: 'line-speed', permitted_speed_kmh: 160 });
    for (const speed of [200, 300]) {
      const train = onLineOf(speed);
      expect(train).toMatchObject({ status: 'restricted', permitted_speed_kmh: 165, blocked_bands_kmh: [] });
      expect(train.reason).toContain(
        'A static load model says nothing of the vibration of trains above 200 km/h; 165 km/h keeps the overspeed factor 1.2 below that.',
      );
      expect(train.sweep.speed_kmh.at(-1)).toBe(1.2 * speed);
      for (const { permitted_speed_kmh } of train.checks.slice(1)) expect(permitted_speed_kmh).toBe(165);
    }
    const decision = { overspeed_factor: 1 };
    expect(onLineOf(200, { decision })).toMatchObject({ status: 'line-speed', permitted_speed_kmh: 200 });
    expect(onLineOf(205, { decision })).toMatchObject({ status: 'restricted', permitted_speed_kmh: 200 });
    const speeds = { from_kmh: 220, to_kmh: 360, step_kmh: 40 };
    expect(onLineOf(300, { speeds })).toMatchObject({ status: 'restricted', permitted_speed_kmh: 165 });
  });

  it('is stopped by the end of the sweep where that comes before', () => {
    const train = onLineOf(300, { speeds: { from_kmh: 40, to_kmh: 120, step_kmh: 40 } });
    expect(train).toMatchObject({ status: 'restricted', permitted_speed_kmh: 100 });
    expect(train.reason).toContain('The sweep ends at 120 km/h');
  });
});

describe('a support that has lost stiffness', () => {
  const softened = (resistance?: object) =>
    assess(
      smallScenario(2, {
        resistance: amplyResistant(2),
        damage_cases: [
          {
            id: 'softened',
            effects: [{ kind: 'support-stiffness-loss', support: 'S1', fraction: 0.3 }],
            ...(resistance && { resistance }),
          },
        ],
      }),
    );

  it('is said to be judged by what it could carry before, in the reason and among the cautions', () => {
    const result = softened();
    expect(trainOf(result, 'softened').reason).toContain(
      'takes support S1 to carry as much as before the damage',
    );
    expect(result.cautions.join(' ')).toContain('softened: nothing was given for what S1 can carry');
    expect(trainOf(result, 'intact').reason).not.toContain('as before');
  });

  it('is judged by what the case gives for it, without a word more', () => {
    const result = softened({ supports: [{ id: 'S1', reaction_kN: 2e4 }] });
    expect(trainOf(result, 'softened').reason).not.toContain('as before');
    expect(result.cautions.join(' ')).not.toContain('softened: nothing was given');
  });
});
