import { describe, expect, it } from 'vitest';
import { buildDynamicModel, type DynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { wholeLine } from '../../../../solver/lines/line-samples.js';
import { deadTrackMoments } from '../../../../solver/rows/track-moments.js';
import {
  dampedSlabTrack,
  directTrack,
  uniformSpans,
  viaductOf,
} from '../../../verification/models/viaducts.js';

const hollow = [{ layer: 'fastening', from: 8.5, to: 10, fraction: 1 }] as const;
const viaduct = viaductOf(uniformSpans([20]), { track: directTrack({ losses: hollow }) });

/** At every place of the rail's rows: its own weight, and the largest and the smallest of a wheel of 1 N. */
function railMoments(model: DynamicModel): Map<string, readonly number[]> {
  const dead = deadTrackMoments(model.mesh, model.rows, () => () => 0);
  const found = new Map<string, readonly number[]>();
  model.rows.forEach(({ quantity, x }, row) => {
    if (quantity !== 'rail-bending') return;
    const influence = model.influenceLines[row]!;
    const peaks = influence.jumps.map(({ before }) => before);
    const line = wholeLine(influence, model.line.count);
    found.set(x.toFixed(6), [dead[row]!, Math.max(...line, ...peaks), Math.min(...line)]);
  });
  return found;
}

describe('moments of the rail', () => {
  const coarse = railMoments(buildDynamicModel(viaduct, { momentsOf: ['rail'] }));
  // Its nodes stand where the coarse one has the middle between two seats.
  const fine = railMoments(buildDynamicModel(viaduct, { momentsOf: ['rail'], refinement: 2 }));

  it('midway between seats are those of a mesh that has a node there', () => {
    const both = [...coarse].filter(([x]) => fine.has(x));
    expect(both.length).toBeGreaterThan(25);
    for (const [x, [dead, most, least]] of both) {
      const [deadThere, mostThere, leastThere] = fine.get(x)!;
      expect(Math.abs(dead! - deadThere!), `own weight at ${x} m, N m`).toBeLessThan(0.05);
      expect(Math.abs(most! / mostThere! - 1), `wheel at ${x} m`).toBeLessThan(2e-3);
      expect(Math.abs(least! - leastThere!) / mostThere!, `beside a wheel at ${x} m`).toBeLessThan(2e-3);
    }
  });

  it('are larger there than at the seats, which are looked at beside supports, by a seventh', () => {
    const at = (from: number, to: number) =>
      [...coarse].filter(([x]) => Number(x) > from && Number(x) < to).map(([, [, most]]) => most!);
    const along = at(0.3, 1);
    expect(Math.max(...along) / Math.min(...along)).toBeGreaterThan(1.14);
    expect(Math.max(...at(8.5, 10))).toBeGreaterThan(1.5 * Math.max(...along));
  });
});

describe('moments of a slab', () => {
  const { stiffnessPerLength, dampingPerLength } = dampedSlabTrack().bedding!;
  const onBedding = (factor: number, refinement: number, length = 20) =>
    buildDynamicModel(
      viaductOf(uniformSpans([length]), {
        track: dampedSlabTrack({
          bedding: { stiffnessPerLength: factor * stiffnessPerLength, dampingPerLength },
        }),
      }),
      { momentsOf: ['slab'], refinement },
    );
  /** Largest of a wheel of 1 N at every place away from the supports. */
  const largest = ({ rows, influenceLines }: DynamicModel) =>
    new Map(
      rows.flatMap(({ quantity, x }, row) =>
        quantity === 'slab-bending' && x > 5 && x < 15
          ? [[x.toFixed(6), Math.max(...influenceLines[row]!.values)] as const]
          : [],
      ),
    );

  it.each([1, 10])(
    'on %s times the bedding are those of a mesh four times as fine, within a fiftieth',
    (factor) => {
      const coarse = largest(onBedding(factor, 1));
      const fine = largest(onBedding(factor, 4));
      const both = [...coarse].filter(([x]) => fine.has(x));
      expect(both.length).toBeGreaterThan(3);
      for (const [x, most] of both) expect(Math.abs(most / fine.get(x)! - 1), `at ${x} m`).toBeLessThan(0.02);
    },
  );

  it('are nothing under its own weight where it lies evenly, on a deck that has sunk as well', () => {
    const { mesh, rows } = onBedding(1, 1, 60);
    const dead = deadTrackMoments(mesh, rows, () => () => 0.003);
    rows.forEach(({ quantity, x }, row) => {
      // The rail's weight stands on its seats: half a bay's bends the slab by 120 kg/m x 9.81 m/s2 (0.65 m)^2 / 12 at most.
      if (quantity === 'slab-bending' && x > 25 && x < 35)
        expect(Math.abs(dead[row]!), `at ${x} m`).toBeLessThan(45);
    });
  });
});
