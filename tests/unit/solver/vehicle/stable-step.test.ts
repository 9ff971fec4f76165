import { describe, expect, it } from 'vitest';
import { buildConsist } from '../../../../solver/vehicle/build-consist.js';
import { runCoupledPassage } from '../../../../solver/vehicle/coupled-passage.js';
import { buildRowInfluence } from '../../../../solver/vehicle/row-influence.js';
import { stableTimeStep } from '../../../../solver/vehicle/stable-step.js';
import { car, coupledModel } from '../../../verification/models/vehicles.js';
import { dampedSlabTrack, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';

const consist = buildConsist([{ ...car, bogieWheelbase: 1.8 }]);
const withLoss = (fraction: number) =>
  coupledModel(
    viaductOf(uniformSpans([26.65]), {
      track: dampedSlabTrack({
        losses: [{ layer: 'fastening', from: 10.4, to: 13.65, fraction }],
      }),
    }),
    consist,
  );

/** Largest unloading of any wheel. */
function unloading(coupled: ReturnType<typeof withLoss>, speed: number, longestMove?: number): number {
  const influence = buildRowInfluence(coupled.model, consist, 'forward');
  const { ride } = runCoupledPassage(coupled, influence, speed, longestMove ? { longestMove } : {});
  return 1 - Math.min(...ride.smallestLoads.map(({ value }) => value));
}

describe('wheels on light rails that little holds', () => {
  it.each([0.9, 1])('stay on them as they pass slowly, %s of the fastenings lost', (fraction) => {
    const coupled = withLoss(fraction);
    const found = unloading(coupled, 12);
    expect(found).toBeLessThan(0.05);
    expect(found).toBeCloseTo(unloading(coupled, 12, 12 * 2e-4), 3);
  });

  it('ask for shorter steps the less holds the rails, and for none on a whole track', () => {
    const wanted = 1.5e-3;
    const steps = [0, 0.9, 1].map((fraction) => stableTimeStep(withLoss(fraction).line, consist, wanted));
    expect(steps[0]).toBe(wanted);
    expect(steps[1]).toBeLessThan(steps[0]!);
    expect(steps[2]).toBeLessThan(steps[1]!);
    expect(steps[2]).toBeGreaterThan(3e-4);
  });
});
