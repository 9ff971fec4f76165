import { expect, it } from 'vitest';
import { buildConsist } from '../../../../solver/vehicle/build-consist.js';
import { type CoupledPassageOptions, runCoupledPassage } from '../../../../solver/vehicle/coupled-passage.js';
import { buildRowInfluence } from '../../../../solver/vehicle/row-influence.js';
import { car, coupledModel } from '../../../verification/models/vehicles.js';
import { dampedSlabTrack, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';

it('a smaller step of a coupled passage moves largest values by one and a half per cent of the most in a sweep at most, loads of wheels by half a per cent of the load', () => {
  const consist = buildConsist([car, car, car]);
  const viaduct = viaductOf(uniformSpans([30, 30]), {
    track: dampedSlabTrack(),
    dampingRatio: 0.01,
    supportChanges: { 1: { joint: true } },
  });
  const coupled = coupledModel(viaduct, consist);
  const { model } = coupled;
  const influences = buildRowInfluence(model, consist, 'forward');
  const worstOf = (kmh: number, options: CoupledPassageOptions) => {
    const { peaks, ride } = runCoupledPassage(coupled, influences, kmh / 3.6, options);
    const worst = new Map<string, number>();
    const include = (name: string, value: number) =>
      worst.set(name, Math.max(worst.get(name) ?? 0, Math.abs(value)));
    model.rows.forEach(({ quantity }, row) => {
      include(quantity, peaks.largest[row]!);
      include(quantity, peaks.smallest[row]!);
    });
    for (const { value } of ride.smallestLoads) include('wheel unloading', 1 - value);
    for (const { value } of ride.floorPeaks) include('car body acceleration', value);
    return worst;
  };
  const runs = [60, 90, 120, 150, 180, 210].map((kmh) => ({
    kmh,
    found: worstOf(kmh, {}),
    converged: worstOf(kmh, { longestMove: 0.02, samplesPerPeriod: 64 }),
  }));
  for (const quantity of runs[0]!.found.keys()) {
    // Nothing is judged by it.
    if (quantity === 'slab-acceleration') continue;
    const unloading = quantity === 'wheel unloading';
    const most = unloading ? 1 : Math.max(...runs.map(({ converged }) => converged.get(quantity)!));
    for (const { kmh, found, converged } of runs) {
      const error = (found.get(quantity)! - converged.get(quantity)!) / most;
      expect(Math.abs(error), `${quantity} at ${kmh} km/h`).toBeLessThan(unloading ? 0.005 : 0.015);
    }
  }
});
