import { describe, expect, it } from 'vitest';
import { hslmA } from '../../../scenarios/library/hslm-a.js';
import { buildDynamicModel, type DynamicModel } from '../../../solver/dynamic-model/dynamic-model.js';
import { runPassage } from '../../../solver/passage/passage.js';
import { buildTrainTables } from '../../../solver/passage/train-tables.js';
import type { MovingTrain, Viaduct } from '../../../solver/viaduct/model.js';
import { dampedSlabTrack, trainOf, uniformSpans, viaductOf } from '../../verification/models/viaducts.js';

const torsion = { rigidity: 8e9, rotaryInertia: 8e4 };
const spread = { bearingSpread: 4 };
const decks: readonly [string, Viaduct][] = [
  ['a bare deck', viaductOf(uniformSpans([25]), { dampingRatio: 0.01 })],
  ['a continuous bare deck', viaductOf(uniformSpans([24, 30, 24]), { dampingRatio: 0.01 })],
  [
    'a bare deck that shear deforms, on springs',
    viaductOf(uniformSpans([24], { massPerLength: 9000, flexuralRigidity: 4e10, shearRigidity: 5e9 }), {
      dampingRatio: 0.01,
      supportChanges: { 0: { stiffness: 2e9 }, 1: { stiffness: 2e9 } },
    }),
  ],
  [
    'a bare deck that turns',
    viaductOf(uniformSpans([24], { torsion }), {
      dampingRatio: 0.01,
      supportChanges: { 0: spread, 1: spread },
      tracks: [{ eccentricity: 2 }],
    }),
  ],
  [
    'decks with slab track',
    viaductOf(uniformSpans([24, 24]), { dampingRatio: 0.01, track: dampedSlabTrack() }),
  ],
];

/** Largest size per quantity. */
function worstOf(model: DynamicModel, train: MovingTrain, speed: number, samplesPerPeriod?: number) {
  const options = samplesPerPeriod === undefined ? {} : { samplesPerPeriod };
  const peaks = runPassage(model, buildTrainTables(model, train, 'forward'), speed, options);
  const worst = new Map<string, number>();
  model.rows.forEach(({ quantity }, row) => {
    worst.set(quantity, Math.max(worst.get(quantity) ?? 0, peaks.largest[row]!, -peaks.smallest[row]!));
  });
  return worst;
}

describe.each(decks)('refinement of mesh, line and time step on %s', (_, viaduct) => {
  const model = buildDynamicModel(viaduct);
  const fine = buildDynamicModel(viaduct, { refinement: 3, lineStep: model.line.step / 4 });
  const unit = trainOf([0, 2.5, 17, 19.5, 24, 26.5, 41, 43.5], 180e3);
  const { positions, loads } = hslmA('HSLM-A3');
  const train = { ...trainOf(positions, 1), loads: Float64Array.from(loads) };

  const sweep = [
    [37, unit],
    [60, unit],
    [90, unit],
    [163, unit],
    [163, train],
    [240, train],
  ] as const;

  it('moves no largest value by more than half a per cent of the most in a sweep, a whole one under track', () => {
    const runs = sweep.map(([kmh, which]) => ({
      kmh,
      found: worstOf(model, which, kmh / 3.6),
      converged: worstOf(fine, which, kmh / 3.6, 48),
    }));
    for (const quantity of runs[0]!.found.keys()) {
      // The slab's modes stand so close at 30 Hz that a finer mesh has another number of them; nothing is judged by them.
      if (quantity === 'slab-acceleration') continue;
      const most = Math.max(...runs.map(({ converged }) => converged.get(quantity)!));
      for (const { kmh, found, converged } of runs) {
        const error = (found.get(quantity)! - converged.get(quantity)!) / most;
        // Seats and the bedding between them stand on nodes 0.65 m apart, which a train passes as often as a mode near 30 Hz swings.
        expect(Math.abs(error), `${quantity} at ${kmh} km/h`).toBeLessThan(viaduct.track ? 0.01 : 0.005);
      }
    }
  });
});
