import { describe, expect, it } from 'vitest';
import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { staticLoadPeaks } from '../../../../solver/statics/static-load-model.js';
import { buildConsist } from '../../../../solver/vehicle/build-consist.js';
import { buildRowInfluence } from '../../../../solver/vehicle/row-influence.js';
import { rowAt } from '../../../verification/models/rows.js';
import { car } from '../../../verification/models/vehicles.js';
import { uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';

const span = 20;
const model = buildDynamicModel(viaductOf(uniformSpans([span, span])), { highestFrequency: 10 });
const endReaction = rowAt(model, 'support-reaction', 0);

/** Ordinates of the end reaction of two equal spans: positive in the first, negative in the second (three moments). */
function ordinate(x: number): number {
  if (x < 0 || x > 2 * span) return 0;
  const mirrored = x <= span ? x : 2 * span - x;
  const overPier = (-mirrored * (span ** 2 - mirrored ** 2)) / (4 * span ** 2);
  return (x <= span ? 1 - x / span : 0) + overPier / span;
}

describe('loads that stand at samples of the line', () => {
  it('lift an end no less than they do anywhere: most as a heavy axle is about to come onto the deck', () => {
    const positions = [0, 22.03, 27.02];
    const loads = [1e5, 2e5, 2e5];
    const { largest, smallest } = staticLoadPeaks(model, {
      id: 'group',
      class: 'group',
      positions: Float64Array.from(positions),
      loads: Float64Array.from(loads),
      lineLoads: [],
      dynamicFactor: 1,
      trackFactor: 1,
    });
    let most = 0;
    let least = 0;
    for (let head = -30; head < 2 * span + 1; head += 1e-3) {
      const value = positions.reduce((sum, along, axle) => sum + loads[axle]! * ordinate(head + along), 0);
      most = Math.max(most, value);
      least = Math.min(least, value);
    }
    // Chords of a curved influence line lie within 1e-5 of it.
    for (const share of [smallest[endReaction]! / least, largest[endReaction]! / most]) {
      expect(share).toBeGreaterThan(1 - 1e-5);
      expect(share).toBeLessThan(1.01);
    }
    const about = positions.reduce((sum, along, axle) => sum + loads[axle]! * ordinate(along - 1e-9), 0);
    expect(least / about).toBeCloseTo(1, 3);
  });

  it('as vehicles have one influence for the largest and one for the smallest value of what jumps, and one for what does not', () => {
    const { rows: influences } = buildRowInfluence(model, buildConsist([car, car]), 'forward');
    const { largest, smallest } = influences[endReaction]!;
    expect(largest.train.every((value, k) => value >= smallest.train[k]!)).toBe(true);
    expect(Math.max(...largest.train)).toBeGreaterThan(Math.max(...smallest.train));
    const moment = influences[rowAt(model, 'bending', span)]!;
    expect(moment.largest).toBe(moment.smallest);
  });
});
