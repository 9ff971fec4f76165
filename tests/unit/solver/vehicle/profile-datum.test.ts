import { expect, it } from 'vitest';
import { buildConsist } from '../../../../solver/vehicle/build-consist.js';
import { runCoupledPassage } from '../../../../solver/vehicle/coupled-passage.js';
import { buildRowInfluence } from '../../../../solver/vehicle/row-influence.js';
import { profileMargin } from '../../../../solver/vehicle/run-up.js';
import { irregularityProfile } from '../../../../solver/vehicle/track-irregularity.js';
import { buildVehicleSystem } from '../../../../solver/vehicle/vehicle-system.js';
import { car, coupledModel } from '../../../verification/models/vehicles.js';
import { dampedSlabTrack, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';

it('a train feels the waves of a measured profile and not the datum from which its levels are counted', () => {
  // Hardly damped: what the start gives it is still there on the deck.
  const consist = buildConsist([{ ...car, primaryDamping: 2e3, secondaryDamping: 5e3 }]);
  const viaduct = viaductOf(uniformSpans([20]), { track: dampedSlabTrack(), dampingRatio: 0.01 });
  const speed = 40;
  const margin = profileMargin(buildVehicleSystem(consist), speed, 20);
  const rideAbove = (datum: number) => {
    const levels = Float64Array.from({ length: 2401 }, (_, k) => datum + 3e-3 * Math.sin(0.1 * k));
    const profile = irregularityProfile({ kind: 'profile', from: -300, step: 0.25, levels });
    const coupled = coupledModel(viaduct, consist, {}, profile, margin);
    return runCoupledPassage(coupled, buildRowInfluence(coupled.model, consist, 'forward'), speed).ride;
  };
  const [level, raised] = [rideAbove(0), rideAbove(0.1)];
  level.smallestLoads.forEach(({ value }, wheel) => {
    expect(raised.smallestLoads[wheel]!.value).toBeCloseTo(value, 6);
  });
  level.floorPeaks.forEach(({ value }, point) => {
    expect(raised.floorPeaks[point]!.value).toBeCloseTo(value, 6);
  });
});
