import { describe, expect, it } from 'vitest';
import { holdRail } from '../../../../solver/held-track/held-track.js';
import {
  railInfluence,
  sunkUnderLoadModel,
  sunkUnderTrain,
} from '../../../../solver/statics/rail-influence.js';
import { characteristicLengthOfTrack } from '../../../../solver/viaduct/characteristic-length.js';
import type { LayerLoss, StaticLoadModel, Track } from '../../../../solver/viaduct/model.js';
import { dampedSlabTrack, trainOf, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';

const spacing = 0.05;
const rail = { massPerLength: 120, flexuralRigidity: 1.276e7 };
const k = 4e6 / spacing;
const lambda = (k / (4 * rail.flexuralRigidity)) ** 0.25;
/** Seats so close that they are a foundation. */
const railOnly: Track = {
  ...{ rail, slab: null, bedding: null, losses: [] },
  fastening: { spacing, stiffness: 4e6, damping: 0 },
};

const influenceOf = (track: Track, from: number, to: number) =>
  railInfluence(holdRail(viaductOf(uniformSpans([40]), { track })), [{ from, to }]);
const lost = (layer: LayerLoss['layer'], from: number, to: number, fraction = 1): LayerLoss => ({
  ...{ layer, from, to, fraction },
});

/** Deflection of an infinite beam on elastic foundation (Winkler, Zimmermann; M. Hetenyi, 1946 (mem)). */
const winkler = (force: number, away: number) => {
  const z = lambda * Math.abs(away);
  return ((force * lambda) / (2 * k)) * Math.exp(-z) * (Math.cos(z) + Math.sin(z));
};

describe('the rail under wheels on a held deck', () => {
  it('sinks under one wheel as a beam on elastic foundation', () => {
    const sunk = sunkUnderTrain(influenceOf(railOnly, 15, 25), trainOf([0], [200e3]));
    expect(sunk(20) / winkler(200e3, 0)).toBeCloseTo(1, 3);
  });

  it('sinks under the worst of several wheels, each with what the others add', () => {
    const loads = [120e3, 200e3, 150e3];
    const sunk = sunkUnderTrain(influenceOf(railOnly, 15, 25), trainOf([0, 1, 3], loads));
    const expected = winkler(200e3, 0) + winkler(120e3, 1) + winkler(150e3, 2);
    expect(sunk(20) / expected).toBeCloseTo(1, 3);
  });

  it('sinks under a train of many axles as under those near the worst, whichever way it runs', () => {
    const influence = influenceOf(railOnly, 15, 25);
    const near = [0, 1.3, 2.9];
    const loads = [90e3, 210e3, 160e3];
    const few = sunkUnderTrain(influence, trainOf(near, loads));
    const far = Array.from({ length: 600 }, (_, k) => 100 + 60 * k);
    const many = trainOf([...near, ...far], [...loads, ...far.map(() => 100e3)]);
    const tail = far.length * 60;
    const reversed = trainOf(
      [...far.map((at) => at - 100), ...near.map((at) => at + tail)],
      [...far.map(() => 100e3), ...loads],
    );
    for (const x of [17, 20, 21.5]) {
      expect(sunkUnderTrain(influence, many)(x)).toBeCloseTo(few(x), 9);
      expect(sunkUnderTrain(influence, reversed)(x)).toBeCloseTo(few(x), 9);
    }
  });

  it('sinks in a gap as a rail that spans it between two half-infinite beams on elastic foundation (M. Hetenyi, 1946 (mem))', () => {
    const half = 3;
    const gap = lost('fastening', 20 - half + spacing / 4, 20 + half + spacing / 4);
    const P = 200e3;
    const sunk = sunkUnderTrain(influenceOf({ ...railOnly, losses: [gap] }, 18, 22), trainOf([0], [P]));
    const EI = rail.flexuralRigidity;
    const L = 2 * half;
    // Slope at the edges under P / 2 each and the moment M that the beams beyond hold back.
    const M =
      ((P * L ** 2) / (16 * EI) - (2 * lambda ** 2 * (P / 2)) / k) / (L / (2 * EI) + (4 * lambda ** 3) / k);
    const edge = (2 * lambda * (P / 2) + 2 * lambda ** 2 * M) / k;
    const middle = edge + (P * L ** 3) / (48 * EI) - (M * L ** 2) / (8 * EI);
    expect(sunk(20) / middle).toBeCloseTo(1, 2);
  });

  it('sinks the same whichever way a train of unequal axles runs', () => {
    const losses = [lost('bedding', 16, 24)];
    const influence = influenceOf({ ...dampedSlabTrack(), losses }, 12, 28);
    const positions = [0, 2.5, 9];
    const there = sunkUnderTrain(influence, trainOf(positions, [80e3, 210e3, 120e3]));
    const back = sunkUnderTrain(influence, trainOf([0, 6.5, 9], [120e3, 210e3, 80e3]));
    for (const x of [14, 17, 20, 22]) expect(back(x)).toBeCloseTo(there(x), 12);
  });

  it('sinks deeper the more is lost', () => {
    const train = trainOf([0, 2.5], [200e3, 200e3]);
    const at = (fraction: number) => {
      const losses = fraction === 0 ? [] : [lost('bedding', 15, 25, fraction)];
      return sunkUnderTrain(influenceOf({ ...dampedSlabTrack(), losses }, 15, 25), train)(20);
    };
    expect(at(0.5)).toBeGreaterThan(1.2 * at(0));
    expect(at(1)).toBeGreaterThan(3 * at(0.5));
  });

  it('under a load model of single axles is that of a train which stands where it is worst', () => {
    const model: StaticLoadModel = {
      ...{ id: 'three', class: 'all', positions: Float64Array.from([0, 1.5, 3]) },
      ...{
        loads: Float64Array.from([100e3, 200e3, 100e3]),
        lineLoads: [],
        dynamicFactor: 1.4,
        trackFactor: 2,
      },
    };
    const influence = influenceOf(railOnly, 15, 25);
    const train = trainOf([0, 1.5, 3], [100e3, 200e3, 100e3]);
    expect(sunkUnderLoadModel(influence, model)(20) / sunkUnderTrain(influence, train)(20)).toBeCloseTo(1, 2);
  });

  it('is not looked at where nobody asked, and not felt a wave away', () => {
    const influence = influenceOf(railOnly, 15, 25);
    expect(sunkUnderTrain(influence, trainOf([0], [200e3]))(30)).toBe(0);
    expect(
      Math.abs(winkler(1, 2 * Math.PI * characteristicLengthOfTrack(railOnly)) / winkler(1, 0)),
    ).toBeLessThan(0.002);
  });
});
