import { describe, expect, it } from 'vitest';
import { codesOf, faultsOf } from './faults-of.js';
import { fullScenario, minimalScenario } from './minimal-scenario.js';

/** Two spans of 8 m, closed for what they can carry: of the deck and of a damage case, each resistance times the factor. */
function shortSpans(factor: number) {
  const minimal = minimalScenario();
  const span = { length_m: 8, mass_kg_per_m: 6000, flexural_rigidity_N_m2: 3e9 };
  const resistance = { sagging_kNm: 900 * factor, hogging_kNm: 800 * factor, shear_kN: 500 * factor };
  return {
    ...minimal,
    deck: { ...minimal.deck, spans: [span, span] },
    resistance: {
      spans: [resistance, null],
      supports: [{ id: 'P1', reaction_kN: 900 * factor }],
    },
    damage_cases: [
      {
        id: 'cracked',
        effects: [{ kind: 'deck-stiffness-loss', span: 2, from_m: 2, to_m: 6, fraction: 0.4 }],
        resistance: {
          spans: [{ span: 2, sagging_kNm: 500 * factor, hogging_kNm: 500 * factor, shear_kN: 300 * factor }],
          supports: [{ id: 'A2', reaction_kN: 900 * factor }],
        },
      },
    ],
  };
}

/** Spans of the given lengths, all with the resistances that suit the longest, and no more. */
function unequalSpans(...lengths: readonly number[]) {
  const minimal = minimalScenario();
  const longest = Math.max(...lengths);
  const moment = 3 * ((227 * longest ** 2) / 8);
  const force = 3 * 227 * longest;
  const supports = lengths.map((_, index) => ({ id: `S${index}`, uplift_resistance_kN: force / 4 }));
  return {
    ...minimal,
    deck: {
      ...minimal.deck,
      spans: lengths.map((length_m) => ({
        length_m,
        mass_kg_per_m: 15_000,
        flexural_rigidity_N_m2: 15_000 * ((2 * length_m ** 2 * 120) / (length_m + 5) / Math.PI) ** 2,
      })),
    },
    supports: [...supports, { id: 'end' }],
    resistance: {
      spans: lengths.map(() => ({ sagging_kNm: moment, hogging_kNm: moment, shear_kN: force })),
      supports: [
        ...supports.map(({ id }) => ({ id, reaction_kN: force })),
        { id: 'end', reaction_kN: force },
      ],
    },
  };
}

describe('rules on the size of resistances', () => {
  it('find those given in N and N m, of the deck and of a damage case, which would pass every check', () => {
    expect(codesOf(shortSpans(1))).toEqual([]);
    expect(codesOf(shortSpans(1000))).toEqual([
      'implausible /resistance/spans/0/sagging_kNm',
      'implausible /resistance/spans/0/hogging_kNm',
      'implausible /resistance/spans/0/shear_kN',
      'implausible /resistance/supports/0/reaction_kN',
      'implausible /damage_cases/0/resistance/spans/0/sagging_kNm',
      'implausible /damage_cases/0/resistance/spans/0/hogging_kNm',
      'implausible /damage_cases/0/resistance/spans/0/shear_kN',
      'implausible /damage_cases/0/resistance/supports/0/reaction_kN',
    ]);
  });

  it('say how far off they are and what was probably meant', () => {
    const [moment, , force] = faultsOf(shortSpans(1000));
    expect(moment?.message).toBe(
      "/resistance/spans/0/sagging_kNm: found 900000 kNm, 559 times what the deck's own weight and a train ask for; accepted: a resistance (kNm) of at most 100 times that, about 160000 kNm. Was it given in N m? Then write 900 kNm.",
    );
    expect(force?.guess).toBe('Was it given in N? Then write 500 kN.');
  });

  it('find an uplift resistance in N', () => {
    const document = shortSpans(1);
    const anchored = (uplift_resistance_kN: number) => ({
      ...document,
      deck: minimalScenario().deck,
      resistance: undefined,
      damage_cases: [],
      supports: [{ id: 'A1', uplift_resistance_kN }, { id: 'P1', stiffness_N_per_m: 3e9 }, { id: 'A2' }],
    });
    expect(codesOf(anchored(900))).toEqual([]);
    // Of 30 m spans more than the key may have at all, of 8 m spans within its range.
    expect(codesOf(anchored(900_000))).toEqual(['out-of-range /supports/0/uplift_resistance_kN']);
    const short = { ...anchored(99_000), deck: document.deck };
    const light = short.deck.spans.map((span) => ({ ...span, length_m: 5, flexural_rigidity_N_m2: 1e9 }));
    const [first] = faultsOf({ ...short, deck: { ...short.deck, spans: light } });
    expect([first?.code, first?.pointer]).toEqual(['implausible', '/supports/0/uplift_resistance_kN']);
    expect(first?.guess).toBe('Was it given in N? Then write 99 kN.');
  });

  it('find those of slab and rails in N m', () => {
    const { track } = fullScenario();
    const of = (slab_sagging_kNm: number, rail_kNm: number) =>
      faultsOf({ ...minimalScenario(), track, resistance: { track: { slab_sagging_kNm, rail_kNm } } });
    expect(of(60, 30)).toEqual([]);
    expect(of(60_000, 30_000).map(({ pointer, guess }) => [pointer, guess])).toEqual([
      ['/resistance/track/slab_sagging_kNm', 'Was it given in N m? Then write 60 kNm.'],
      ['/resistance/track/rail_kNm', 'Was it given in N m? Then write 30 kNm.'],
    ]);
  });

  it('leave room for short spans beside long ones that are built alike', () => {
    expect(codesOf(unequalSpans(60, 6, 60))).toEqual([]);
    expect(codesOf(unequalSpans(4, 60, 4))).toEqual([]);
    expect(codesOf(unequalSpans(25, 32, 40, 32, 25))).toEqual([]);
  });

  it('count the trains of every track', () => {
    const strong = shortSpans(220);
    expect(codesOf(strong)).toContain('implausible /resistance/spans/0/sagging_kNm');
    const tracks = [-6, -2, 2, 6].map((eccentricity_m) => ({ eccentricity_m }));
    expect(codesOf({ ...strong, tracks })).not.toContain('implausible /resistance/spans/0/sagging_kNm');
  });

  it('name a resistance outside the range of its key once', () => {
    expect(codesOf(shortSpans(1e5))).toEqual([
      'out-of-range /resistance/spans/0/sagging_kNm',
      'out-of-range /resistance/spans/0/hogging_kNm',
      'out-of-range /resistance/spans/0/shear_kN',
      'out-of-range /resistance/supports/0/reaction_kN',
      'out-of-range /damage_cases/0/resistance/spans/0/sagging_kNm',
      'out-of-range /damage_cases/0/resistance/spans/0/hogging_kNm',
      'out-of-range /damage_cases/0/resistance/spans/0/shear_kN',
      'out-of-range /damage_cases/0/resistance/supports/0/reaction_kN',
    ]);
  });

  it('see the weight of segments, and keep silent where the deck itself has faults', () => {
    const document = shortSpans(1000);
    const segments = [4, 4].map((length_m) => ({
      length_m,
      mass_kg_per_m: 6000,
      flexural_rigidity_N_m2: 3e9,
    }));
    const spans = [{ length_m: 8, segments }, document.deck.spans[1]];
    expect(codesOf({ ...document, deck: { ...document.deck, spans } })).toContain(
      'implausible /resistance/spans/0/sagging_kNm',
    );
    const wrong = document.deck.spans.map((span) => ({ ...span, mass_kg_per_m: 6 }));
    expect(codesOf({ ...document, deck: { ...document.deck, spans: wrong } })).toEqual([
      'out-of-range /deck/spans/0/mass_kg_per_m',
      'out-of-range /deck/spans/1/mass_kg_per_m',
    ]);
  });
});
