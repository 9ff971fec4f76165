import { describe, expect, it } from 'vitest';
import { buildGrid } from '../../../../solver/mesh/grid.js';
import { buildMesh } from '../../../../solver/mesh/mesh.js';
import {
  dampedSlabTrack,
  slabTrack,
  uniformSpans,
  viaductOf,
} from '../../../verification/models/viaducts.js';
import { structures } from '../structures.js';

describe.each(structures)('grid of $name', ({ viaduct }) => {
  const grid = buildGrid(viaduct, { highestFrequency: 30 });
  const ends = viaduct.spans.reduce<number[]>(
    (all, span) => {
      all.push(all[all.length - 1]! + span.segments.reduce((sum, one) => sum + one.length, 0));
      return all;
    },
    [0],
  );

  it('has a node at every support', () => {
    expect(
      Array.from(
        grid.supports,
        (index) => Math.abs(grid.x[index]! - ends[grid.supports.indexOf(index)]!) < 1e-9,
      ),
    ).toEqual(ends.map(() => true));
  });

  it('ascends, in elements no longer than a twentieth of the span', () => {
    for (let support = 0; support + 1 < grid.supports.length; support++) {
      const longest = (ends[support + 1]! - ends[support]!) / 20;
      for (let i = grid.supports[support]!; i < grid.supports[support + 1]!; i++) {
        const step = grid.x[i + 1]! - grid.x[i]!;
        expect(step).toBeGreaterThan(0);
        expect(step).toBeLessThanOrEqual(longest * (1 + 1e-9));
      }
    }
  });

  it('keeps the band narrow, however long the viaduct', () => {
    const once = buildMesh(viaduct, { highestFrequency: 30 });
    expect(once.halfBandwidth).toBeLessThanOrEqual(14);
  });
});

describe('mesh', () => {
  const spans = uniformSpans([20, 20]);

  it('cuts the deck at a joint: one shared deflection, two rotations', () => {
    const mesh = buildMesh(viaductOf(spans, { supportChanges: { 1: { joint: true, stiffness: 1e9 } } }), {
      highestFrequency: 1,
    });
    const [left, right] = mesh.supports[1]!.nodes;
    expect(left!.deflection).toBe(right!.deflection);
    expect(left!.rotation).not.toBe(right!.rotation);
  });

  it('parts the two deck ends where the bearings of a joint are lost', () => {
    const mesh = buildMesh(viaductOf(spans, { supportChanges: { 1: { joint: true, bearing: false } } }), {
      highestFrequency: 1,
    });
    const [left, right] = mesh.supports[1]!.nodes;
    expect(left!.deflection).not.toBe(right!.deflection);
    expect(mesh.supports[1]!.carries).toBe(false);
  });

  it('holds a rigid support and springs an elastic one', () => {
    const mesh = buildMesh(viaductOf(spans, { supportChanges: { 1: { stiffness: 5e8 } } }), {
      highestFrequency: 1,
    });
    expect(mesh.supports.map(({ deflection }) => deflection >= 0)).toEqual([false, true, false]);
    expect(mesh.supports.map(({ stiffness }) => stiffness)).toEqual([0, 5e8, 0]);
  });

  it('puts the whole bedding and all fastenings of the deck under the track', () => {
    const { springs, length } = buildMesh(viaductOf(spans, { track: slabTrack() }), { highestFrequency: 30 });
    const total = (kind: 'fastening' | 'bedding') =>
      springs
        .filter((one) => one.kind === kind && one.lower !== null && one.x >= 0 && one.x <= length)
        .reduce((sum, one) => sum + one.stiffness, 0);
    expect(total('bedding') / (6e7 * length)).toBeCloseTo(1, 9);
    expect(total('fastening') / ((80e6 / 0.65) * length)).toBeCloseTo(1, 9);
  });

  it('takes the lost share out of the bedding where it is lost, and nowhere else', () => {
    const springsOf = (losses: ReturnType<typeof slabTrack>['losses']) =>
      buildMesh(viaductOf(spans, { track: dampedSlabTrack({ losses }) }), { highestFrequency: 30 })
        .springs.filter((one) => one.kind === 'bedding')
        .reduce((sum, one) => sum + one.stiffness, 0);
    const lost = springsOf([]) - springsOf([{ layer: 'bedding', from: 4, to: 9, fraction: 0.6 }]);
    expect(lost / (0.6 * 5 * 1e8)).toBeCloseTo(1, 9);
  });

  it('multiplies losses of bedding where they overlap, and nowhere else', () => {
    const left = (...losses: [from: number, to: number, fraction: number][]) =>
      buildMesh(
        viaductOf(spans, {
          track: dampedSlabTrack({
            losses: losses.map(([from, to, fraction]) => ({ layer: 'bedding', from, to, fraction })),
          }),
        }),
        { highestFrequency: 30 },
      )
        .springs.filter((one) => one.kind === 'bedding')
        .map((one) => one.stiffness);
    const expectSame = (some: number[], others: number[]) => {
      const most = Math.max(...others);
      some.forEach((one, i) => {
        expect(Math.abs(one - others[i]!) / most).toBeLessThan(1e-9);
      });
    };
    const inPieces = left([4, 6.1, 1], [6.1, 8.05, 1], [8.05, 9, 1]);
    // None stands between what is gone.
    expect(inPieces.filter((stiffness) => stiffness === 0)).toHaveLength(
      left([4, 9, 1]).filter((stiffness) => stiffness === 0).length,
    );
    expectSame(inPieces, left([4, 9, 1]));
    expectSame(left([4, 9.05, 0.5], [4, 9.05, 0.5]), left([4, 9.05, 0.75]));
    expectSame(left([4, 7.05, 0.5], [6.02, 9, 0.4]), left([4, 6.02, 0.5], [6.02, 7.05, 0.7], [7.05, 9, 0.4]));
  });
});
