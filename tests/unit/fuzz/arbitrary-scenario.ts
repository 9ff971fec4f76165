import fc from 'fast-check';

/** A scenario file as an object that JSON can hold; always valid. */
export interface ScenarioFile {
  readonly [key: string]: unknown;
  readonly line: { readonly speed_kmh: number };
  readonly deck: { readonly spans: readonly SpanFile[]; readonly [key: string]: unknown };
  readonly supports: readonly SupportFile[];
  readonly tracks?: readonly { readonly eccentricity_m: number }[];
  readonly trains: readonly TrainFile[];
  readonly resistance?: { readonly [key: string]: unknown };
  readonly damage_cases: readonly { readonly id: string; readonly effects: readonly EffectFile[] }[];
}
export interface SpanFile {
  readonly length_m: number;
  readonly mass_kg_per_m?: number;
  readonly flexural_rigidity_N_m2?: number;
  readonly segments?: readonly {
    readonly length_m: number;
    readonly mass_kg_per_m: number;
    readonly flexural_rigidity_N_m2: number;
  }[];
}
export interface SupportFile {
  readonly id: string;
  readonly stiffness_N_per_m?: number;
  readonly bearing_spread_m?: number;
  readonly joint?: boolean;
}
export interface TrainFile {
  readonly id?: string;
  readonly axles?: readonly { readonly at_m: number; readonly load_kN: number }[];
}
export type EffectFile = Readonly<Record<string, string | number>>;

/** Numbers spread evenly over orders of magnitude. */
const logarithmic = (from: number, to: number) =>
  fc
    .double({ min: Math.log(from), max: Math.log(to), noNaN: true })
    .map((value) => Number(Math.exp(value).toPrecision(6)));
const between = (min: number, max: number) =>
  fc.double({ min, max, noNaN: true }).map((value) => Number(value.toPrecision(5)));
const optional = <T>(arbitrary: fc.Arbitrary<T>) => fc.option(arbitrary, { nil: undefined });

/** Mass and rigidity of a span whose first frequency is that of some railway bridge. */
const span = fc
  .record({
    length: between(4, 45),
    mass: logarithmic(4000, 30000),
    stiff: between(0.5, 2),
    shear: optional(logarithmic(1e9, 1e11)),
    parts: fc.array(fc.record({ share: between(0.2, 1), factor: between(0.6, 1.5) }), {
      maxLength: 3,
    }),
  })
  .map(({ length, mass, stiff, shear, parts }) => {
    const frequency = (stiff * 100) / (length + 5);
    const rigidity = mass * ((2 * length ** 2 * frequency) / Math.PI) ** 2;
    const properties = (factor: number) => ({
      mass_kg_per_m: Number((mass * factor).toPrecision(6)),
      flexural_rigidity_N_m2: Number((rigidity * factor).toPrecision(6)),
      ...(shear === undefined ? {} : { shear_rigidity_N: shear }),
    });
    if (parts.length < 2) return { length_m: length, ...properties(1) };
    const shares = parts.reduce((sum, { share }) => sum + share, 0);
    const lengths = parts.map(({ share }) => Number(((length * share) / shares).toFixed(6)));
    return {
      length_m: Number(lengths.reduce((sum, one) => sum + one, 0).toFixed(6)),
      segments: parts.map(({ factor }, i) => ({ length_m: lengths[i]!, ...properties(factor) })),
    };
  });

const support = fc.record({
  stiffness: optional(logarithmic(2e9, 1e12)),
  joint: fc.boolean(),
  uplift: fc.constantFrom(0, 0, 500, 5000),
  spread: fc.option(between(1.5, 8), { nil: undefined, freq: 6 }),
});

/** m, to the centimetre. */
const place = (min: number, max: number) =>
  fc.integer({ min: Math.round(100 * min), max: Math.round(100 * max) }).map((value) => value / 100);

/** A deck that turns, and where its tracks lie. */
const torsion = fc.record({
  gyration: between(1.5, 4),
  // Of the first bending frequency, span by span.
  stiff: between(0.8, 4),
  tracks: fc.oneof(
    fc.constant(undefined),
    place(-3, 3).map((at) => [at]),
    place(1.7, 4).map((at) => [-at, at]),
    fc
      .record({ first: place(-4, 0), apart: place(3, 6) })
      .map(({ first, apart }) => [first, Number((first + apart).toFixed(2))]),
  ),
  meeting: fc.constantFrom(undefined, 'all-tracks', 'one-track'),
});

/** Feet of the supports from the second on, coupled: any correlation below 1 keeps the matrix positive definite. */
const substructure = fc.record({
  feet: fc.array(logarithmic(1e-11, 2e-10), { minLength: 1, maxLength: 4 }),
  coupling: between(0, 0.9),
});

const rail = fc.record({ mass_kg_per_m: between(80, 160), flexural_rigidity_N_m2: logarithmic(6e6, 2e7) });
/** Fastenings that let go somewhere near what a train pulls with, on pads that may be stiffer. */
const clamping = fc.record(
  { clamping_force_kN: between(2, 60), compression_stiffness_N_per_m: logarithmic(2e7, 5e8) },
  { requiredKeys: ['clamping_force_kN'] },
);
const fastening = fc
  .record({
    spacing_m: between(0.5, 1.2),
    stiffness_N_per_m: logarithmic(2e7, 5e8),
    damping_N_s_per_m: between(0, 1e5),
    clamping: optional(clamping),
  })
  .map(({ clamping: clamped, ...linear }) => ({ ...linear, ...clamped }));
const slab = fc.record({
  mass_kg_per_m: between(800, 3000),
  flexural_rigidity_N_m2: logarithmic(5e7, 1e9),
  panel_length_m: fc.option(between(3, 8), { nil: null }),
});
const bedding = fc.record({
  stiffness_N_per_m2: logarithmic(1e7, 1e9),
  damping_N_s_per_m2: between(0, 1e5),
});
const sectionModulus = optional(logarithmic(3e-4, 2e-3));
/** The rail's stress is only asked for together with the clamping force. */
const stressed = <T extends { rail: object; fastening: object }>(form: T, modulus: number | undefined) =>
  modulus !== undefined && 'clamping_force_kN' in form.fastening
    ? { ...form, rail: { ...form.rail, section_modulus_m3: modulus } }
    : form;
const track = fc.oneof(
  { weight: 3, arbitrary: fc.constant(undefined) },
  {
    weight: 1,
    arbitrary: fc
      .tuple(fc.record({ rail, fastening }), sectionModulus)
      .map(([form, modulus]) => stressed(form, modulus)),
  },
  {
    weight: 1,
    arbitrary: fc
      .tuple(fc.record({ rail, fastening, slab, bedding }), sectionModulus)
      .map(([form, modulus]) => stressed(form, modulus)),
  },
);

/** Axles at any distances, some of them regular. */
const ownTrain = fc
  .record({
    gaps: fc.array(between(0.8, 25), { maxLength: 7 }),
    repeats: fc.integer({ min: 1, max: 3 }),
    pause: between(2, 20),
    load: between(40, 260),
    uneven: fc.boolean(),
    reverse: fc.boolean(),
    class: optional(fc.constantFrom('passenger', 'freight', 'works')),
  })
  .map(({ gaps, repeats, pause, load, uneven, reverse, class: name }) => {
    const group = [0];
    for (const gap of gaps) group.push(group[group.length - 1]! + gap);
    const period = group[group.length - 1]! + pause;
    const axles = Array.from({ length: repeats }, (_, n) =>
      group.map((at, i) => ({
        at_m: Number((n * period + at).toFixed(4)),
        load_kN: uneven && i % 2 === 1 ? Number((load * 0.8).toPrecision(5)) : load,
      })),
    ).flat();
    return { axles, ...(reverse ? { reverse } : {}), ...(name === undefined ? {} : { class: name }) };
  });

const wagons = fc
  .record({
    load_model: fc.constantFrom('A', 'C3', 'D4', 'E5'),
    wagons: fc.integer({ min: 1, max: 3 }),
  })
  .map((train): object => train);
const libraryTrain = fc.oneof(
  { weight: 3, arbitrary: wagons },
  {
    weight: 2,
    arbitrary: fc.constantFrom<object>(
      { load_model: 'LM71' },
      { load_model: 'SW/0' },
      { load_model: 'SW/2', dynamic_factor: 'phi2' },
    ),
  },
  { weight: 1, arbitrary: fc.constantFrom<object>({ load_model: 'HSLM-A1' }, { load_model: 'HSLM-A7' }) },
);

/** Places are shares of the structure, which is not known yet. */
const effect = fc.record({
  kind: fc.constantFrom(
    'support-stiffness-loss',
    'support-settlement',
    'bearing-loss',
    'deck-stiffness-loss',
    'bedding-loss',
    'fastening-loss',
  ),
  place: between(0, 0.999),
  from: between(0, 0.8),
  length: between(0.05, 1),
  fraction: fc.oneof(between(0.05, 0.95), fc.constant(1)),
  side: fc.constantFrom(undefined, 'left', 'right'),
  settlement: between(0.5, 60),
});
type EffectWish = typeof effect extends fc.Arbitrary<infer T> ? T : never;
type TorsionWish = typeof torsion extends fc.Arbitrary<infer T> ? T : never;

const resistance = fc.record({
  sagging: logarithmic(5e3, 1e5),
  hogging: logarithmic(5e3, 1e5),
  shear: logarithmic(2e3, 3e4),
});

const trackResistance = fc.record({
  slab: fc.option(logarithmic(20, 2000), { nil: undefined }),
  rail: fc.option(logarithmic(20, 500), { nil: undefined }),
});
type TrackResistanceWish = typeof trackResistance extends fc.Arbitrary<infer T> ? T : never;

const scenarioOf = (twisting: fc.Arbitrary<TorsionWish | undefined>): fc.Arbitrary<ScenarioFile> =>
  fc
    .record({
      spans: fc.oneof(
        { weight: 12, arbitrary: fc.array(span, { minLength: 1, maxLength: 3 }) },
        { weight: 1, arbitrary: fc.array(span, { minLength: 4, maxLength: 12 }) },
      ),
      supports: fc.array(support, { minLength: 13, maxLength: 13 }),
      damping: fc.oneof(
        logarithmic(0.005, 0.1).map((damping_ratio) => ({ damping_ratio })),
        fc.constantFrom(
          { material: 'steel' },
          { material: 'composite' },
          { material: 'reinforced-concrete' },
          { material: 'prestressed-concrete' },
        ),
      ),
      substructure: fc.option(substructure, { nil: undefined, freq: 4 }),
      torsion: twisting,
      track,
      trains: fc.array(fc.oneof({ weight: 3, arbitrary: ownTrain }, { weight: 1, arbitrary: libraryTrain }), {
        minLength: 1,
        maxLength: 2,
      }),
      // Small numbers are tried more often, and slow passages are the long ones.
      lineSpeed: fc.integer({ min: 0, max: 200 }).map((below) => 320 - below),
      overspeed: fc.constantFrom(1, 1.1, 1.2),
      reach: fc.constantFrom(1.2, 1.3, 1, 0.7),
      round: fc.constantFrom(1, 5, 10),
      cases: fc.array(fc.array(effect, { minLength: 1, maxLength: 3 }), { maxLength: 2 }),
      resistances: fc.array(fc.option(resistance, { nil: null }), { minLength: 12, maxLength: 12 }),
      reactions: fc.array(fc.option(logarithmic(2e3, 3e4), { nil: null }), { minLength: 13, maxLength: 13 }),
      known: fc.constantFrom('nothing', 'some', 'some', 'all'),
      limits: fc.constantFrom<object>(
        {},
        { set: 'en-1990-a2-ballasted' },
        { overrides: { 'deck-acceleration': 1.5, 'end-rotation': 0.002 } },
        { overrides: { 'deck-deflection': 10, 'joint-step': 1, 'fastening-uplift': 5 } },
      ),
      bounds: fc.constantFrom<object>({}, {}, {}, { stiffness_factors: [0.9], damping_factors: [0.8] }),
      trackResistance,
    })
    .map((wish): ScenarioFile => {
      const spans = wish.torsion ? wish.spans.map(turning(wish.torsion)) : wish.spans;
      const supports = wish.supports
        .slice(0, wish.spans.length + 1)
        .map(({ stiffness, joint, uplift, spread }, i) => ({
          id: `S${i}`,
          ...(stiffness === undefined ? {} : { stiffness_N_per_m: stiffness }),
          ...(joint ? { joint } : {}),
          ...(uplift > 0 ? { uplift_resistance_kN: uplift } : {}),
          ...(wish.torsion && spread !== undefined ? { bearing_spread_m: spread } : {}),
        }));
      const to = Math.min(600, Math.max(2, Math.round(wish.lineSpeed * wish.reach)));
      // A long viaduct with every bound at low speed would take as long as a hundred others.
      const long = wish.spans.length > 3;
      const from = Math.max(1, Math.round(0.7 * to));
      const known = <T>(list: readonly (T | null)[], count: number, fill: T) =>
        list.slice(0, count).map((entry) => entry ?? (wish.known === 'all' ? fill : null));
      const spanResistances = known(wish.resistances, wish.spans.length, {
        sagging: 3e4,
        hogging: 3e4,
        shear: 9000,
      });
      const reactions = known(wish.reactions, supports.length, 12000);
      return {
        format: 'deckpace/scenario@1',
        title: 'Found by chance (invented)',
        line: { speed_kmh: wish.lineSpeed },
        deck: { spans, ...wish.damping },
        supports,
        ...(wish.substructure === undefined ? {} : substructureFile(wish.substructure, supports)),
        ...(wish.track === undefined ? {} : { track: wish.track }),
        ...(wish.torsion ? tracksFile(wish.torsion) : {}),
        trains: wish.trains.slice(0, long ? 1 : 2).map((train, i) => ({ id: `train-${i + 1}`, ...train })),
        speeds: { from_kmh: from, to_kmh: to, step_kmh: Math.max(1, Math.round((to - from) / 2)) },
        ...(wish.known === 'nothing'
          ? {}
          : {
              resistance: {
                spans: spanResistances.map(
                  (entry, i) =>
                    entry && {
                      sagging_kNm: believable(entry.sagging, wish.spans[i]!),
                      hogging_kNm: believable(entry.hogging, wish.spans[i]!),
                      shear_kN: entry.shear,
                    },
                ),
                supports: supports.flatMap(({ id }, i) =>
                  reactions[i] ? [{ id, reaction_kN: reactions[i] }] : [],
                ),
                ...trackResistanceFile(wish.trackResistance, wish.track, wish.known === 'all'),
              },
            }),
        damage_cases: wish.cases
          .map((effects, i) => ({
            id: `case-${i + 1}`,
            effects: withoutRepeats(
              effects.flatMap((one) => effectFile(one, wish.spans, supports, wish.track)),
            ),
          }))
          .filter(({ effects }) => effects.length > 0),
        limits: wish.limits,
        decision: {
          overspeed_factor: wish.overspeed,
          round_down_to_kmh: wish.round,
          bounds: long ? {} : wish.bounds,
        },
      };
    });

/** A moment of short spans that is not a hundred times what a train asks for, which would be refused. */
const believable = (moment: number, { length_m }: SpanFile): number => Math.min(moment, 11_000 * length_m);

function trackResistanceFile(
  { slab, rail }: TrackResistanceWish,
  built: object | undefined,
  all: boolean,
): object {
  if (built === undefined) return {};
  const moment = slab ?? (all ? 500 : undefined);
  const rails = rail ?? (all ? 300 : undefined);
  return {
    track: {
      ...('slab' in built && moment !== undefined
        ? { slab_sagging_kNm: moment, slab_hogging_kNm: 0.7 * moment }
        : {}),
      ...(rails === undefined ? {} : { rail_kNm: rails }),
    },
  };
}

/** Every form of the schema that a small scenario can have: 1 to 12 spans, joints anywhere, any supports, track, damage, trains. */
export const arbitraryScenario: fc.Arbitrary<ScenarioFile> = scenarioOf(
  fc.oneof({ weight: 2, arbitrary: fc.constant(undefined) }, { weight: 1, arbitrary: torsion }),
);

/** The same, of decks that turn only. */
export const twistingScenario: fc.Arbitrary<ScenarioFile> = scenarioOf(torsion);

/** A span, or its segments, whose first torsional frequency lies where the wish wants it beside that of bending. */
function turning({ gyration, stiff }: TorsionWish) {
  return <T extends SpanFile>(span: T): T => {
    const turned = (section: {
      readonly mass_kg_per_m?: number;
      readonly flexural_rigidity_N_m2?: number;
    }) => {
      const [mass, rigidity] = [section.mass_kg_per_m ?? 0, section.flexural_rigidity_N_m2 ?? 0];
      const frequency = (Math.PI / (2 * span.length_m ** 2)) * Math.sqrt(rigidity / mass);
      const inertia = mass * gyration ** 2;
      return {
        ...section,
        torsional_rigidity_N_m2: Number(
          (inertia * (2 * span.length_m * stiff * frequency) ** 2).toPrecision(6),
        ),
        rotary_inertia_kg_m: Number(inertia.toPrecision(6)),
      };
    };
    return span.segments ? { ...span, segments: span.segments.map(turned) } : { ...span, ...turned(span) };
  };
}

function tracksFile({ tracks, meeting }: TorsionWish): object {
  return {
    ...(tracks ? { tracks: tracks.map((eccentricity_m) => ({ eccentricity_m })) } : {}),
    ...(tracks && tracks.length > 1 && meeting ? { meeting } : {}),
  };
}

function substructureFile(
  { feet, coupling }: { readonly feet: readonly number[]; readonly coupling: number },
  supports: readonly { readonly id: string }[],
): object {
  const ids = supports.slice(1, 1 + feet.length).map(({ id }) => id);
  const flexibility = ids.map((_, i) =>
    ids.map((__, j) => (i === j ? 1 : coupling) * Math.sqrt(feet[i]! * feet[j]!)),
  );
  return { supports_flexibility: { supports: ids, flexibility_m_per_N: flexibility } };
}

/** One kind of effect for a support, as a scenario wants it: the first. */
function withoutRepeats(effects: readonly EffectFile[]): readonly EffectFile[] {
  return effects.filter(
    (one, i) =>
      !('support' in one) ||
      effects.findIndex(
        (other) => other.kind === one.kind && 'support' in other && other.support === one.support,
      ) === i,
  );
}

function effectFile(
  { kind, place, from, length, fraction, settlement, side }: EffectWish,
  spans: readonly SpanFile[],
  supports: readonly SupportFile[],
  trackFile: object | undefined,
): readonly EffectFile[] {
  const chosen = supports[Math.floor(place * supports.length)]!;
  const index = Math.floor(place * spans.length);
  const total = spans.reduce((sum, { length_m }) => sum + length_m, 0);
  const stretch = (whole: number) => {
    const start = Number((from * whole).toFixed(3));
    const end = Math.min(whole, start + Math.max(0.1, length * whole));
    return { from_m: start, to_m: Math.floor(1000 * end) / 1000 };
  };
  switch (kind) {
    case 'support-stiffness-loss':
      return [{ kind, support: chosen.id, fraction: chosen.stiffness_N_per_m === undefined ? 1 : fraction }];
    case 'support-settlement':
      return [{ kind, support: chosen.id, settlement_mm: settlement }];
    case 'bearing-loss':
      return [{ kind, support: chosen.id, ...(side && chosen.bearing_spread_m ? { side } : {}) }];
    case 'deck-stiffness-loss':
      return [{ kind, span: index + 1, ...stretch(spans[index]!.length_m), fraction }];
    case 'bedding-loss':
      return trackFile && 'bedding' in trackFile ? [{ kind, ...stretch(total), fraction }] : [];
    case 'fastening-loss':
      return trackFile ? [{ kind, ...overSeats(stretch(total), total), fraction }] : [];
    default:
      return [];
  }
}

/** At least 4 m, which no two seats are apart. */
function overSeats({ from_m, to_m }: { readonly from_m: number; readonly to_m: number }, whole: number) {
  const start = Math.max(0, Math.min(from_m, Math.floor(whole - 4)));
  return { from_m: start, to_m: Math.max(to_m, Math.min(whole, start + 4)) };
}

/** Wheels on the deck itself; what is said of the track goes with it. */
export function withoutTrack({ track: _, resistance, ...file }: ScenarioFile): ScenarioFile {
  const layer = ({ kind }: EffectFile) => kind === 'bedding-loss' || kind === 'fastening-loss';
  const { track: __, ...others } = resistance ?? {};
  return {
    ...file,
    line: file.line,
    deck: file.deck,
    supports: file.supports,
    trains: file.trains,
    ...(resistance && { resistance: others }),
    damage_cases: file.damage_cases
      .map((one) => ({ ...one, effects: one.effects.filter((effect) => !layer(effect)) }))
      .filter(({ effects }) => effects.length > 0),
  };
}
