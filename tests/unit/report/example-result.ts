import type {
  CaseResult,
  Check,
  CheckId,
  Recommendation,
  Result,
  Statics,
  Status,
  TrainResult,
} from '../../../scenarios/result.js';

/**
 * A made-up result with every status, nine spans and the shapes of a real one, from simple formulas (resonance curves, half
 * waves); no engineering meaning. `exampleScenario` is the document that goes with it.
 */

const spanLengths = [30, 36, 36, 30, 25, 25, 30, 36, 30];
const supportIds = ['A1', 'P1', 'P2', 'P3', 'P4', 'P5', 'P6', 'P7', 'P8', 'A2'];
const deckLength = spanLengths.reduce((total, length) => total + length, 0);
const supportAt = supportIds.map((_, index) =>
  spanLengths.slice(0, index).reduce((total, length) => total + length, 0),
);
const xs = Array.from({ length: deckLength + 1 }, (_, index) => index);

export const exampleScenario = {
  format: 'deckpace/scenario@1',
  title: 'Example viaduct of nine spans',
  notes: 'An invented viaduct for trying the report.',
  line: { speed_kmh: 200, start_chainage_km: 12.34 },
  deck: {
    spans: spanLengths.map((length) => ({
      length_m: length,
      mass_kg_per_m: 15000,
      flexural_rigidity_N_m2: 1.1e11,
    })),
    damping_ratio: 0.01,
  },
  supports: supportIds.map((id, index) =>
    id.startsWith('A') ? { id } : { id, stiffness_N_per_m: 3e9, joint: index === 4 || index === 6 },
  ),
  track: {
    rail: { mass_kg_per_m: 120, flexural_rigidity_N_m2: 12.76e6 },
    fastening: { spacing_m: 0.65, stiffness_N_per_m: 80e6, damping_N_s_per_m: 60e3 },
    slab: { mass_kg_per_m: 1600, flexural_rigidity_N_m2: 2.3e8, panel_length_m: null },
    bedding: { stiffness_N_per_m2: 6e7, damping_N_s_per_m2: 5e4 },
  },
  trains: [
    { load_model: 'HSLM-A1' },
    {
      id: 'stopping-train',
      class: 'passenger',
      axles: [0, 2.5, 17.5, 20, 26, 28.5].map((at) => ({ at_m: at, load_kN: 160 })),
    },
    {
      id: 'ore-train',
      class: 'freight',
      axles: [0, 1.8, 9.45, 11.25].map((at) => ({ at_m: at, load_kN: 225 })),
    },
  ],
  speeds: { from_kmh: 10, to_kmh: 240, step_kmh: 5 },
  resistance: {
    spans: spanLengths.map(() => ({ sagging_kNm: 26000, hogging_kNm: 24000, shear_kN: 7000 })),
    supports: [{ id: 'P2', reaction_kN: 14000 }],
  },
  damage_cases: [
    {
      id: 'P2-softened',
      title: 'Scour at pier P2',
      effects: [
        { kind: 'support-stiffness-loss', support: 'P2', fraction: 0.6 },
        { kind: 'support-settlement', support: 'P2', settlement_mm: 12 },
      ],
    },
    {
      id: 'P2-lost',
      title: 'Pier P2 lost',
      effects: [{ kind: 'support-stiffness-loss', support: 'P2', fraction: 1 }],
    },
    { id: 'P5-lost', effects: [{ kind: 'bearing-loss', support: 'P5' }] },
    {
      id: 'S8-cracked',
      title: 'Span 8 cracked at midspan',
      effects: [{ kind: 'deck-stiffness-loss', span: 8, from_m: 12, to_m: 24, fraction: 0.35 }],
    },
    {
      id: 'bedding-soft',
      title: 'Bedding softened after flooding',
      effects: [{ kind: 'bedding-loss', from_m: 60, to_m: 110, fraction: 0.5 }],
    },
  ],
  limits: { set: 'en-1990-a2', overrides: { 'deck-acceleration': 5 } },
  decision: { overspeed_factor: 1.2, round_down_to_kmh: 5 },
};

function shapeAlong(order: number, lostAt: number | null): number[] {
  return xs.map((x) => {
    const span = supportAt.findIndex((end) => x <= end && end > 0) - 1;
    const from = supportAt[span] ?? 0;
    const wave = Math.sin((Math.PI * (x - from)) / (spanLengths[span] ?? 1));
    const near = lostAt === null ? 0 : 6 * Math.exp(-(((x - lostAt) / 28) ** 2));
    return wave * Math.cos((order * Math.PI * x) / deckLength) + near;
  });
}

function statics(softening: number, lostAt: number | null): Statics {
  const deflection = shapeAlong(0, lostAt).map((value) => 4 * softening * value);
  const bending = xs.map(
    (x, index) => 9000 * (deflection[index] ?? 0) * 0.2 - 6000 * Math.cos((2 * Math.PI * x) / 33),
  );
  const reactions = supportIds.map((id, index) => {
    const tributary = ((spanLengths[index - 1] ?? 0) + (spanLengths[index] ?? 0)) / 2;
    const lost = lostAt !== null && supportAt[index] === lostAt;
    const besideLost = lostAt !== null && Math.abs((supportAt[index] ?? 0) - lostAt) < 40;
    return [id, lost ? 0 : tributary * 163 * (besideLost ? 1.5 : 1)] as const;
  });
  const largest = Math.max(...deflection);
  return {
    reactions_kN: Object.fromEntries(reactions),
    sag_mm: largest - 4,
    dead_load_deflection_mm: largest,
    max_sagging_kNm: Math.max(...bending),
    max_hogging_kNm: Math.min(...bending),
    max_shear_kN: 3100 * softening,
    x_m: xs,
    deflection_mm: deflection,
    bending_kNm: bending,
  };
}

interface TrainOutcome {
  readonly status: Status;
  readonly permitted: number | null;
  readonly governing: CheckId | null;
  readonly reason: string;
  readonly peakKmh: number;
  readonly peak: number;
  readonly bands?: [number, number][];
  readonly missing?: string[];
}

const trainIds = [
  ['HSLM-A1', 'passenger'],
  ['stopping-train', 'passenger'],
  ['ore-train', 'freight'],
] as const;

function check(
  id: CheckId,
  unit: string,
  value: number | null,
  limit: number | null,
  more: Partial<Check> = {},
): Check {
  const missing = value === null || limit === null;
  return {
    id,
    kind: 'safety',
    value,
    limit,
    unit,
    utilisation: missing ? null : value / limit,
    speed_kmh: 186.5,
    at_m: 48,
    where: 'span 2',
    source: 'EN 1990:2002/A1 A2.4.4.2.1(4) (mem)',
    evidence: missing ? 'missing' : 'given',
    permitted_speed_kmh: missing ? null : value <= limit ? 200 : 160,
    ...more,
  };
}

function train(name: (typeof trainIds)[number], outcome: TrainOutcome): TrainResult {
  const speeds = Array.from({ length: 116 }, (_, index) => 10 + 2 * index);
  const resonance = (speed: number, centre: number, height: number): number =>
    height / Math.sqrt(1 + ((speed - centre) / 6) ** 2);
  const acceleration = speeds.map(
    (speed) =>
      (0.6 * speed) / 240 +
      resonance(speed, outcome.peakKmh, outcome.peak) +
      resonance(speed, outcome.peakKmh / 2, outcome.peak / 4),
  );
  const largest = Math.max(...acceleration);
  const strengthMissing = (outcome.missing ?? []).length > 0;
  const ran = outcome.governing !== 'equilibrium';
  return {
    train: name[0],
    class: name[1],
    status: outcome.status,
    permitted_speed_kmh: outcome.permitted,
    comfort_speed_kmh: outcome.permitted === null ? null : Math.min(outcome.permitted, 140),
    governing: outcome.governing,
    reason: outcome.reason,
    blocked_bands_kmh: outcome.bands ?? [],
    missing: outcome.missing ?? [],
    resonance_speeds_kmh: ran ? [outcome.peakKmh / 3, outcome.peakKmh / 2, outcome.peakKmh] : [],
    checks: ran
      ? [
          check('deck-acceleration', 'm/s2', largest, 5, { speed_kmh: outcome.peakKmh }),
          check('deck-deflection', 'mm', 21, 60, { source: 'EN 1990:2002/A1 A2.4.4.2.3 (mem)' }),
          check('joint-step', 'mm', 1.62, 2, {
            where: 'support P4',
            at_m: 132,
            source: 'EN 1991-2 6.5.4.5.2 (mem)',
          }),
          check('fastening-uplift', 'kN', 6.1, 18, { source: 'common practice', where: 'seat 74' }),
          check('bending', 'kNm', strengthMissing ? null : 20100, strengthMissing ? null : 20080, {
            source: 'resistance given in the scenario',
          }),
          check('track-geometry', 'mm', 4.4, 20, { speed_kmh: null, source: 'EN 13848-5 (mem)' }),
          check('ride-comfort', 'm/s2', 1.2, 1, {
            kind: 'comfort',
            permitted_speed_kmh: 140,
            where: 'coach 3',
          }),
        ]
      : [
          check('equilibrium', '-', null, null, {
            evidence: 'given',
            speed_kmh: null,
            at_m: 182,
            where: 'support P5',
            source: 'common practice',
          }),
        ],
    sweep: ran
      ? {
          speed_kmh: speeds,
          deck_acceleration_m_per_s2: acceleration,
          deck_deflection_mm: acceleration.map((value, index) => 6 + value * 2 + (speeds[index] ?? 0) / 60),
          joint_step_mm: acceleration.map((value) => 0.4 + value / 6),
          slab_acceleration_m_per_s2: acceleration.map((value) => 1.4 * value),
          reaction_min_kN: acceleration.map((value) => 900 - 160 * value),
        }
      : { speed_kmh: [] },
    sweep_limits: ran
      ? {
          deck_acceleration_m_per_s2: [{ up_to_kmh: 350, limit: 5 }],
          deck_deflection_mm: [{ up_to_kmh: 350, limit: 60 }],
          joint_step_mm: [
            { up_to_kmh: 160, limit: 3 },
            { up_to_kmh: 350, limit: 2 },
          ],
        }
      : {},
    envelope: ran
      ? {
          speed_kmh: outcome.peakKmh,
          x_m: xs,
          deck_acceleration_m_per_s2: shapeAlong(1, null).map((value) => Math.abs(value) * largest),
          deck_deflection_max_mm: shapeAlong(1, null).map((value) => Math.max(0, value) * 21),
          deck_deflection_min_mm: shapeAlong(1, null).map((value) => Math.min(0, value) * 8),
          bending_max_kNm: shapeAlong(0, null).map((value) => value * 8000),
          bending_min_kNm: shapeAlong(0, null).map((value) => 0 - value * 2500),
          total_bending_max_kNm: shapeAlong(0, null).map((value) => value * 20000 - 7000),
          total_bending_min_kNm: shapeAlong(0, null).map((value) => value * 6000 - 13000),
        }
      : null,
  };
}

const passes: TrainOutcome = {
  status: 'line-speed',
  permitted: 200,
  governing: 'deck-acceleration',
  reason: 'Every check passes at 200 km/h; the deck acceleration comes closest to its limit.',
  peakKmh: 225,
  peak: 3.1,
};
const resonates: TrainOutcome = {
  status: 'restricted',
  permitted: 150,
  governing: 'deck-acceleration',
  reason:
    'Above 150 km/h the axles meet the natural frequency of spans 2 and 3 and the deck acceleration exceeds 5.0 m/s².',
  peakKmh: 190,
  peak: 6.2,
  bands: [[181.5, 198]],
};
const unresisted: TrainOutcome = {
  status: 'undetermined',
  permitted: null,
  governing: null,
  reason:
    'No bending resistance was given for the cracked span, so its strength cannot be judged: keep the line closed.',
  peakKmh: 170,
  peak: 2.2,
  missing: [
    'bending resistance of span 8 in the cracked state (sagging_kNm, hogging_kNm)',
    'shear resistance of span 8',
  ],
};
const weak: TrainOutcome = {
  status: 'closed',
  permitted: null,
  governing: 'bending',
  reason:
    'With pier P2 lost, dead load plus the train exceeds the bending resistance of span 2 at any speed.',
  peakKmh: 150,
  peak: 1.8,
};
const mechanism: TrainOutcome = {
  status: 'closed',
  permitted: null,
  governing: 'equilibrium',
  reason: 'Without support P5 the deck between P4 and P6 is not held up: no train may cross.',
  peakKmh: 0,
  peak: 0,
};

const plan: readonly {
  readonly id: string;
  readonly title: string | null;
  readonly softening: number;
  readonly lostAt: number | null;
  readonly outcomes: readonly [TrainOutcome, TrainOutcome, TrainOutcome];
}[] = [
  { id: 'intact', title: null, softening: 1, lostAt: null, outcomes: [passes, passes, passes] },
  {
    id: 'P2-softened',
    title: 'Scour at pier P2',
    softening: 1.4,
    lostAt: null,
    outcomes: [resonates, resonates, passes],
  },
  { id: 'P2-lost', title: 'Pier P2 lost', softening: 2, lostAt: 66, outcomes: [weak, weak, weak] },
  { id: 'P5-lost', title: null, softening: 1, lostAt: 157, outcomes: [mechanism, mechanism, mechanism] },
  {
    id: 'S8-cracked',
    title: 'Span 8 cracked at midspan',
    softening: 1.2,
    lostAt: null,
    outcomes: [unresisted, unresisted, unresisted],
  },
  {
    id: 'bedding-soft',
    title: 'Bedding softened after flooding',
    softening: 1,
    lostAt: null,
    outcomes: [resonates, passes, passes],
  },
];

const severity: readonly Status[] = ['line-speed', 'restricted', 'undetermined', 'closed'];

function recommendations(cases: readonly CaseResult[]): Recommendation[] {
  return cases.flatMap((one) =>
    ['passenger', 'freight'].flatMap((group) => {
      const members = one.trains.filter((member) => member.class === group);
      const [worst] = [...members].sort((a, b) => severity.indexOf(b.status) - severity.indexOf(a.status));
      if (worst === undefined) return [];
      return {
        damage_case: one.damage_case,
        class: group,
        status: worst.status,
        permitted_speed_kmh: worst.permitted_speed_kmh,
        comfort_speed_kmh: worst.comfort_speed_kmh,
        governing: worst.governing,
        governing_train: worst.train,
        from_chainage_km: 12.34,
        to_chainage_km: 12.34 + deckLength / 1000,
        from_m: 0,
        to_m: deckLength,
        reason: worst.reason,
      };
    }),
  );
}

/** A fresh copy at every call, so that a test may change it. */
export function exampleResult(): Result {
  const cases = plan.map((one): CaseResult => {
    const stable = one.id !== 'P5-lost';
    return {
      damage_case: one.id,
      title: one.title,
      stable,
      mechanism: stable ? null : 'The deck between P4 and P6 turns about P4 and P6 and falls at support P5',
      frequencies_Hz: stable
        ? Array.from({ length: 14 }, (_, order) => (3.4 + 0.55 * order) / Math.sqrt(one.softening))
        : [],
      mode_shapes: stable
        ? Array.from({ length: 8 }, (_, order) => ({
            frequency_Hz: (3.4 + 0.55 * order) / Math.sqrt(one.softening),
            x_m: xs,
            deck: shapeAlong(order + 1, null),
          }))
        : [],
      statics: stable ? statics(one.softening, one.lostAt) : null,
      statics_released:
        one.id === 'P2-lost' ? { lifted: ['A1'], stable: true, statics: statics(2.3, one.lostAt) } : null,
      trains: trainIds.map((name, index) => train(name, one.outcomes[index] ?? passes)),
    };
  });
  const held = cases.find((one) => one.damage_case === 'P2-lost')?.statics;
  if (held) held.reactions_kN.A1 = -412;
  return structuredClone({
    format: 'deckpace/result@1',
    scenario_sha256: '5f'.repeat(32),
    engine: 'deckpace 0.1.0',
    provenance: { git_commit: '0123456789abcdef', libraries: { 'ml-matrix': '6.15.1', 'fft.js': '4.0.4' } },
    title: exampleScenario.title,
    line_speed_kmh: 200,
    speeds_hold:
      'Speeds hold for trains in either direction, each led by the end that leads in the scenario.',
    cases,
    recommendations: recommendations(cases),
    cautions: ['Strength of the intact deck was checked against resistances that the scenario gives.'],
  });
}
