import { describe, expect, it } from 'vitest';
import type { Limit } from '../../../scenarios/assessment-model.js';
import { readScenario } from '../../../scenarios/read-scenario.js';
import { translateScenario } from '../../../scenarios/translate.js';
import type { ResponseRow } from '../../../solver/rows/response-rows.js';
import { buildCaseState } from '../../../worker/assess/case-state.js';
import type { CheckInput } from '../../../worker/checks/check.js';
import { deckTwist } from '../../../worker/checks/deck-twist.js';
import { smallScenario } from './assess-scenario.js';

const reading = readScenario(JSON.stringify(smallScenario(1)));
if (!reading.ok) throw new Error(reading.faults.map((fault) => fault.message).join('\n'));
const model = translateScenario(reading.scenario);

const limit: Limit = {
  check: 'deck-twist',
  kind: 'safety',
  unit: 'mm',
  steps: [{ upToKmh: Number.POSITIVE_INFINITY, value: 3 }],
  perSpan: false,
  source: 'rule 1',
};

/** The twist over 3 m from `start` on. */
const rowFrom = (start: number): ResponseRow => ({
  quantity: 'deck-twist',
  ...{ x: start + 1.5, span: 0, support: -1, side: 'only', start },
  ...{ freedoms: [], stiffness: [], inertia: [], direct: [] },
});

interface Twist {
  /** Where the 3 m begin, on a deck that is 30 m long. */
  readonly start: number;
  /** What the damage turned the deck by at any place, rad. */
  readonly left: (x: number) => number;
  /** The train's own twist, mm. */
  readonly largest: number;
  readonly smallest: number;
}

function inputOf({ start, left, largest, smallest }: Twist): CheckInput {
  const state = buildCaseState(model, model.damageCases[0]!);
  const variant = state.variants[0]!;
  return {
    ...{ model, limit, speedKmh: 100, ride: null, deckEnds: [], level: null },
    state,
    variant: Object.assign(variant, { change: { ...variant.change!, twistAt: left } }),
    rows: [rowFrom(start)],
    peaks: { largest: Float64Array.of(largest / 1e3), smallest: Float64Array.of(smallest / 1e3) },
  };
}

/** Turns 0.4 mrad in each metre, so that the damage left 3 x 0.4 x 1.435 = 1.722 mm over any 3 m of the deck. */
const rising = (x: number) => 4e-4 * x;
const falling = (x: number) => -4e-4 * x;

const twists: readonly (readonly [what: string, twist: Twist, millimetres: number])[] = [
  [
    'adds what a train turns on, the way the damage did, to what the damage left',
    { start: 12, left: rising, largest: 0.3, smallest: -1 },
    1.722 + 0.3,
  ],
  [
    'adds it as well where both turn the other way',
    { start: 12, left: falling, largest: 1, smallest: -0.3 },
    1.722 + 0.3,
  ],
  [
    'is what a train turns beyond level where it turns the deck back and further',
    { start: 12, left: rising, largest: 0.2, smallest: -4 },
    4 - 1.722,
  ],
  [
    'is what the damage left while no train is there that turns it back',
    { start: 12, left: falling, largest: 1, smallest: 0.4 },
    1.722,
  ],
  [
    'is gained from an abutment, which has not turned, onto the deck',
    { start: -1.5, left: (x) => 1e-3 + rising(x), largest: 0.1, smallest: -2 },
    1.435 * (1 + 0.4 * 1.5) + 0.1,
  ],
  [
    'is lost again from the deck onto the other abutment',
    { start: 28.5, left: (x) => 1e-3 * (x - 27), largest: 2, smallest: -0.1 },
    1.435 * 1.5 + 0.1,
  ],
];

describe('twist of the track on a deck that the damage has turned', () => {
  it.each(twists)('%s', (_, twist, millimetres) => {
    const missing: string[] = [];
    const finding = deckTwist.judge(inputOf(twist), (what) => missing.push(what))!;
    expect(finding.value).toBeCloseTo(millimetres, 9);
    expect(finding.utilisation).toBeCloseTo(millimetres / 3, 9);
    expect(missing).toEqual([]);
  });

  it.each(twists)('is looked for over time as it is judged: %s', (_, twist, millimetres) => {
    const input = inputOf(twist);
    const { weights, offsets } = deckTwist.objectives(input)[0]!;
    // At rest, and at both of the train's own peaks.
    const own = [0, input.peaks.largest[0]!, input.peaks.smallest[0]!];
    const reached = own.flatMap((response) =>
      Array.from(weights, (weight, term) => offsets[term]! + weight * response),
    );
    expect(1e3 * Math.max(...reached)).toBeCloseTo(millimetres, 9);
  });

  it('is followed by the search from the first that a train turns back, and is 1 where the limit is', () => {
    const nearness = (smallest: number) =>
      deckTwist.judge(inputOf({ start: 12, left: rising, largest: 0, smallest }), () => {})!.nearness;
    expect(nearness(-1)).toBeCloseTo(1.722 / 3, 9);
    expect(nearness(-4)).toBeCloseTo(4 / (3 + 1.722), 9);
    expect(nearness(-(3 + 1.722))).toBeCloseTo(1, 9);
  });

  it('has time looked at where that is nearest', () => {
    const input = inputOf({ start: 12, left: rising, largest: 0.2, smallest: -4 });
    const nearest = deckTwist.objectives(input).slice(1);
    const limits = model.limits.get('deck-twist')!.steps.map(({ value }) => value);
    expect(nearest.map((back) => back!.weights[0]! * -4e-3)).toEqual(
      limits.map((millimetres) => expect.closeTo(4 / (millimetres + 1.722), 9)),
    );
  });
});
