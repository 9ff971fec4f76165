import { describe, expect, it } from 'vitest';
import { holdRail } from '../../../../solver/held-track/held-track.js';
import { railSag } from '../../../../solver/held-track/track-sag.js';
import { gravity } from '../../../../solver/viaduct/gravity.js';
import type { LayerLoss, Track } from '../../../../solver/viaduct/model.js';
import { dampedSlabTrack, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';

const sagOf = (track: Track) => railSag(holdRail(viaductOf(uniformSpans([40]), { track })));
const gone = (layer: LayerLoss['layer'], from: number, to: number, fraction = 1): LayerLoss => ({
  layer,
  from,
  to,
  fraction,
});

describe('the sag of the track under its own weight', () => {
  it('is weight over stiffness, layer by layer, where nothing is lost', () => {
    const track = dampedSlabTrack();
    const rail = track.rail.massPerLength * gravity;
    const slab = track.slab!.massPerLength * gravity;
    const expected =
      (rail + slab) / track.bedding!.stiffnessPerLength +
      (rail * track.fastening.spacing) / track.fastening.stiffness;
    expect(sagOf(track)(20)).toBeCloseTo(expected, 7);
  });

  it('is that of a rail which spans the gap between two half-infinite beams on elastic foundation (M. Hetenyi, 1946 (mem))', () => {
    const spacing = 0.05;
    const stiffness = 4e6;
    const rail = { massPerLength: 120, flexuralRigidity: 1.276e7 };
    const fastening = { spacing, stiffness, damping: 0 };
    // Each seat stands for a spacing: so many lost ones open a gap of as many spacings.
    const half = 3;
    const losses = [gone('fastening', 20 - half + spacing / 4, 20 + half + spacing / 4)];
    const sag = sagOf({ rail, fastening, slab: null, bedding: null, losses });
    const EI = rail.flexuralRigidity;
    const w = rail.massPerLength * gravity;
    const k = stiffness / spacing;
    const lambda = (k / (4 * EI)) ** 0.25;
    const L = 2 * half;
    const P = (w * L) / 2;
    // The slope at the edge is the same from both sides.
    const M = ((w * L ** 3) / (24 * EI) - (2 * lambda ** 2 * P) / k) / (L / (2 * EI) + (4 * lambda ** 3) / k);
    const edge = w / k + (2 * lambda * P + 2 * lambda ** 2 * M) / k;
    const middle = edge + (5 * w * L ** 4) / (384 * EI) - (M * L ** 2) / (8 * EI);
    // Seats are points: 0.65 % away at twice the spacing, 0.35 % here.
    expect(sag(20) / middle).toBeCloseTo(1, 2);
  });

  it('grows with what is lost and with how far it is lost', () => {
    const track = dampedSlabTrack();
    const at20 = (to: number, fraction: number) =>
      sagOf({ ...track, losses: [gone('bedding', 40 - to, to, fraction)] })(20);
    expect(at20(25, 0.5)).toBeGreaterThan(at20(25, 0));
    expect(at20(25, 1)).toBeGreaterThan(at20(25, 0.9));
    expect(at20(28, 1)).toBeGreaterThan(at20(25, 1));
  });
});
