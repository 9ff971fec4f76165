import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { buildDynamicModel } from '../../../solver/dynamic-model/dynamic-model.js';
import { resonanceSpeeds } from '../../../worker/assess/resonance-speeds.js';
import { trainOf as axles, uniformSpans, viaductOf } from '../../verification/models/viaducts.js';
import { amplyResistant, assess, trainOf } from './assess-scenario.js';

type Document = Record<string, unknown>;

const regression = (id: string): Document =>
  JSON.parse(readFileSync(`scenarios/regression/${id}.json`, 'utf8'));
const permitted = (document: Document) => assess(document).cases[0]!.trains[0]!.permitted_speed_kmh ?? 0;

describe('predicted resonances', () => {
  const length = 20;
  const dampingRatio = 0.01;
  const load = 150e3;
  const spans = uniformSpans([length]);
  const viaduct = viaductOf(spans, { dampingRatio });
  const [first] = buildDynamicModel(viaduct).modes.angularFrequencies;
  // Of the first mode alone: the second, at four times its frequency, meets the same speeds with other orders.
  const model = buildDynamicModel(viaduct, { highestFrequency: (2 * first!) / (2 * Math.PI) });
  const rowOf = (spacing: number) =>
    axles(
      Array.from({ length: 9 }, (_, axle) => spacing * axle),
      load,
    );
  const train = rowOf(13);
  const frequency = model.modes.angularFrequencies[0]! / (2 * Math.PI);
  const linesOf = (of: typeof train, negligible = 0) => resonanceSpeeds(model, of, 10, 600, negligible);
  const strongestNear = (lines: ReturnType<typeof resonanceSpeeds>, speedKmh: number, within = 0.1) =>
    lines
      .filter((line) => Math.abs(line.speedKmh - speedKmh) < within * speedKmh)
      .sort((a, b) => b.acceleration - a.acceleration)[0];

  it.each([1, 2, 3])(
    'of a simple beam weigh what a row of axles leaves in it, at f d / i for the order %i',
    (order) => {
      const { speedKmh, acceleration } = strongestNear(linesOf(train), (3.6 * frequency * 13) / order)!;
      const k = (3.6 * frequency) / speedKmh;
      // Transform of a half wave along the span, times its ordinate at midspan, mass-normalised.
      const wave =
        (((2 * Math.PI) / length) * Math.abs(Math.cos(Math.PI * k * length))) /
        Math.abs((Math.PI / length) ** 2 - (2 * Math.PI * k) ** 2);
      const mass = 2 / (spans[0]!.segments[0]!.massPerLength * length);
      // Axles at their distance, each faded by the damping.
      let [real, imaginary] = [0, 0];
      for (const at of train.positions) {
        const faded = load * Math.exp(-dampingRatio * 2 * Math.PI * k * (train.positions.at(-1)! - at));
        real += faded * Math.cos(2 * Math.PI * k * at);
        imaginary += faded * Math.sin(2 * Math.PI * k * at);
      }
      const exact = 2 * Math.PI * k * Math.hypot(real, imaginary) * wave * mass;
      expect(acceleration / exact).toBeGreaterThan(0.98);
      expect(acceleration / exact).toBeLessThan(1.02);
    },
  );

  it('are none where every axle takes away what it has given', () => {
    // A load that crosses in one and a half periods leaves none: axles two thirds of the span apart meet that speed.
    const speed = (3.6 * frequency * 2 * length) / 3;
    const cancelled = linesOf(rowOf((2 * length) / 3));
    expect(strongestNear(cancelled, speed, 0.02)).toBeUndefined();
    expect(strongestNear(linesOf(train), 3.6 * frequency * 13, 0.05)).toBeDefined();
  });

  it('are those that matter, however many weaker ones there are', () => {
    const all = linesOf(train);
    const few = linesOf(train, 0.5);
    expect(few.length).toBeLessThan(all.length);
    const strongest = Math.max(...all.map(({ acceleration }) => acceleration));
    const least = Math.min(0.5, 0.5 * strongest);
    expect(few).toEqual(all.filter(({ acceleration }) => acceleration >= least));
  });
});

describe('a sweep of speeds', () => {
  it.each(['resonance-of-fourth-order', 'resonance-of-tenth-order'])(
    'does not step over the %s that a grid five times as fine finds',
    (id) => {
      const coarse = regression(id);
      const fine = { ...coarse, speeds: { step_kmh: 1 } };
      expect(permitted(coarse)).toBeGreaterThan(0);
      expect(permitted(coarse)).toBeLessThanOrEqual(permitted(fine));
    },
    30_000,
  );

  it('looks for the resonances of every bound, not of the nominal deck alone', () => {
    const soft = regression('resonance-of-fourth-order') as Document & {
      deck: { spans: { flexural_rigidity_N_m2: number }[] };
    };
    const spans = soft.deck.spans.map((span) => ({
      ...span,
      flexural_rigidity_N_m2: span.flexural_rigidity_N_m2 / 0.8,
    }));
    const stiffer = {
      ...soft,
      deck: { ...soft.deck, spans },
      decision: { bounds: { stiffness_factors: [0.8] } },
    };
    expect(permitted(stiffer)).toBeLessThanOrEqual(permitted(soft));
  }, 30_000);

  it('that begins above a resonance looks at it all the same', () => {
    const document = {
      ...regression('single-span-resonance'),
      line: { speed_kmh: 115 },
      resistance: { ...amplyResistant(1), supports: [] },
    };
    const whole = trainOf(assess({ ...document, speeds: { from_kmh: 10 } }), 'intact', 'four-coach-unit');
    const upper = trainOf(assess({ ...document, speeds: { from_kmh: 138 } }), 'intact', 'four-coach-unit');
    expect(whole.status).toBe('restricted');
    expect(upper.permitted_speed_kmh).toBe(whole.permitted_speed_kmh);
  }, 30_000);
});
