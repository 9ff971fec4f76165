import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { assess, caseOf } from './assess-scenario.js';

/** Two spans of 25 m with a joint between them, rails on the deck; stiff enough for line speed as built. */
function twoDecks(effects: readonly object[], clamping: number | null) {
  const base = JSON.parse(readFileSync('scenarios/regression/fastening-uplift-governs.json', 'utf8'));
  const spans = base.deck.spans.map((span: object) => ({ ...span, flexural_rigidity_N_m2: 1.2e11 }));
  const supports = base.supports.map((support: { id: string }) =>
    support.id === 'P1' ? { ...support, stiffness_N_per_m: 5e9 } : support,
  );
  const resistance = {
    spans: spans.map(() => ({ sagging_kNm: 1e6, hogging_kNm: 1e6, shear_kN: 1e5 })),
    supports: supports.map(({ id }: { id: string }) => ({ id, reaction_kN: 1e5 })),
    track: { rail_kNm: 1e4 },
  };
  const fastening = {
    ...base.track.fastening,
    ...(clamping === null ? {} : { clamping_force_kN: clamping }),
  };
  return {
    ...base,
    deck: { ...base.deck, spans },
    supports,
    track: { ...base.track, fastening },
    resistance,
    limits: {},
    damage_cases: [{ id: 'damaged', effects }],
  };
}

function pull(effects: readonly object[], clamping: number | null = null): number {
  const [train] = caseOf(assess(twoDecks(effects, clamping)), 'damaged').trains;
  return train!.checks.find(({ id }) => id === 'fastening-uplift')!.value!;
}

const settled = (millimetres: number) => [
  { kind: 'support-settlement', support: 'P1', settlement_mm: millimetres },
];
const lost = (fraction: number) => [{ kind: 'fastening-loss', from_m: 0, to_m: 50, fraction }];

describe('the pull on fastenings', () => {
  it('is what a settled joint leaves and what the train adds', () => {
    const [none, little, more] = [0.1, 10, 20].map((millimetres) => pull(settled(millimetres)));
    expect(little!).toBeGreaterThan(none!);
    expect(more!).toBeGreaterThan(little! + 3);
  });

  it('is known without the clamping force, which only tells when a fastening gives way', () => {
    for (const effects of [settled(10), settled(20), lost(0.5)])
      expect(pull(effects) / pull(effects, 18)).toBeCloseTo(1, 2);
  });

  it('grows with what is lost: those that are left take it all', () => {
    const pulls = [0.01, 0.25, 0.5, 0.75].map((fraction) => pull(lost(fraction)));
    for (let i = 1; i < pulls.length; i++) expect(pulls[i]!).toBeGreaterThan(1.2 * pulls[i - 1]!);
  });
});
