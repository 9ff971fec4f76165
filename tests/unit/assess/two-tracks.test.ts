import { describe, expect, it } from 'vitest';
import { renderReport } from '../../../worker/report/report-html.js';
import { parsePage } from '../report/parse-page.js';
import { amplyResistant, assess, caseOf, smallScenario, trainOf } from './assess-scenario.js';

/** Two spans that turn on pairs of bearings 5 m apart, two tracks unless changed. */
function twisting(changes: object = {}, spread: number | null = 5) {
  const plain = smallScenario(2, { resistance: amplyResistant(2) });
  const span = { length_m: 30, mass_kg_per_m: 24_000, flexural_rigidity_N_m2: 1.4e11 };
  return {
    ...plain,
    deck: {
      spans: [span, span].map((one) => ({
        ...one,
        torsional_rigidity_N_m2: 2e10,
        rotary_inertia_kg_m: 2e5,
      })),
      damping_ratio: 0.02,
    },
    supports: [0, 1, 2].map((index) => ({
      id: `S${index}`,
      stiffness_N_per_m: 6e9,
      ...(spread === null ? {} : { bearing_spread_m: spread }),
    })),
    tracks: [{ eccentricity_m: -2.2 }, { eccentricity_m: 2.2 }],
    ...changes,
  };
}

const oneBearing = (support: string, side: string) => ({
  id: `${support}-${side}`,
  effects: [{ kind: 'bearing-loss', support, side }],
});
const checkOf = (train: ReturnType<typeof trainOf>, id: string) => train.checks.find((one) => one.id === id)!;

describe('a deck with two tracks', () => {
  const scenario = twisting({ damage_cases: [oneBearing('S0', 'left')] });
  const result = assess(scenario);
  const intact = trainOf(result, 'intact');
  const damaged = trainOf(result, 'S0-left');

  it('has its twist judged by the class of the speed, and swept', () => {
    const twist = checkOf(intact, 'deck-twist');
    expect(twist.value).toBeGreaterThan(0.05);
    expect([4.5, 3]).toContain(twist.limit);
    expect(intact.sweep.deck_twist_mm).toHaveLength(intact.sweep.speed_kmh.length);
    expect(intact.sweep_limits.deck_twist_mm).toEqual([
      { up_to_kmh: 120, limit: 4.5 },
      { up_to_kmh: 192, limit: 3 },
    ]);
  });

  it('names the track under which it is worst', () => {
    expect(checkOf(intact, 'deck-acceleration').where).toMatch(/^span [12], track [12]$/);
    expect(checkOf(intact, 'deck-deflection').where).toMatch(/track/);
  });

  it('twists and steps more once a bearing at the abutment is lost', () => {
    const [before, after] = [intact, damaged].map((train) => checkOf(train, 'deck-twist').value!);
    expect(after).toBeGreaterThan(before! + 0.5);
    expect(checkOf(damaged, 'joint-step').utilisation).toBeGreaterThan(1);
    expect(damaged.permitted_speed_kmh).toBeNull();
    const { statics } = caseOf(result, 'S0-left');
    expect(Object.keys(statics!.bearing_reactions_kN!)).not.toContain('S0, left bearing');
    expect(statics!.bearing_reactions_kN!['S0, right bearing']).toBeCloseTo(statics!.reactions_kN.S0!, 3);
  });

  it('tells of twist, tracks and bearings in the report', () => {
    const page = parsePage(renderReport(result, scenario));
    expect(page.text).toContain('Deck twist');
    expect(page.text).toContain('S0, right bearing');
    expect(page.text).toContain('The left one of the two bearings at support S0 is lost');
    expect(page.text).toContain('Only vertical motion and torsion of the deck are modelled');
    expect(page.text).not.toContain('no torsion of the deck');
  });
});

describe('trains on both tracks', () => {
  const meet = assess(twisting({ trains: [{ load_model: 'LM71' }] }));
  const alone = assess(twisting({ trains: [{ load_model: 'LM71' }], meeting: 'one-track' }));
  const swept = (result: typeof meet, key: string) => trainOf(result, 'intact', 'LM71').sweep[key]![0]!;

  it('bend the deck twice as much as one does', () => {
    expect(swept(meet, 'bending_sagging_kNm') / swept(alone, 'bending_sagging_kNm')).toBeCloseTo(2, 6);
  });

  it('twist it no less than one does', () => {
    expect(swept(meet, 'deck_twist_mm')).toBeGreaterThanOrEqual(swept(alone, 'deck_twist_mm') * (1 - 1e-9));
  });

  it('are told apart in the cautions', () => {
    expect(alone.cautions.join(' ')).toContain('operating rules have to keep them from it');
    expect(meet.cautions.join(' ')).not.toContain('operating rules');
  });

  it('are told apart where the result says for which running its speeds hold', () => {
    const run =
      'Speeds hold for trains in either direction until their last axle has left the stretch, each led by the end that leads in the scenario';
    expect(assess(smallScenario(1)).speeds_hold).toBe(`${run}.`);
    expect(meet.speeds_hold).toBe(
      `${run}, and on every track, also where trains of one kind meet on the deck at the same speed.`,
    );
    expect(alone.speeds_hold).toBe(`${run}, and on every track, as long as no trains meet on the deck.`);
  });
});

describe('bearings side by side', () => {
  it('can carry half of the resistance each: a track beside them governs', () => {
    const resistance = { ...amplyResistant(2), supports: [{ id: 'S1', reaction_kN: 16_000 }] };
    const beside = twisting({ tracks: [{ eccentricity_m: 4 }], resistance });
    const check = checkOf(trainOf(assess(beside), 'intact'), 'support-reaction');
    expect(check.limit).toBe(8000);
    expect(check.where).toBe('support S1, right bearing');
  });

  it('hold the deck: without any it turns over, which closes the line', () => {
    const { reason, governing } = trainOf(assess(twisting({}, null)), 'intact');
    expect(governing).toBe('equilibrium');
    expect(reason).toContain('turning over sideways');
  });

  it('lift off one by one under dead load', () => {
    const trains = [{ load_model: 'LM71' }];
    const result = assess(twisting({ trains, damage_cases: [oneBearing('S1', 'right')] }));
    expect(trainOf(result, 'S1-right', 'LM71').reason).toContain('the left bearing of support S0');
    expect(caseOf(result, 'S1-right').statics_released?.stable).toBe(true);
  });
});

it('a deck whose torsion is not given has no twist to judge', () => {
  const result = assess(smallScenario(2));
  expect(trainOf(result, 'intact').checks.map(({ id }) => id)).not.toContain('deck-twist');
});
