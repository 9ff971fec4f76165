import { describe, expect, it } from 'vitest';
import {
  buildDynamicModel,
  type DynamicModel,
  onTrack,
} from '../../../solver/dynamic-model/dynamic-model.js';
import { wholeLine } from '../../../solver/lines/line-samples.js';
import { quasiStaticPeaks, runPassage } from '../../../solver/passage/passage.js';
import { buildTrainTables } from '../../../solver/passage/train-tables.js';
import type { Peaks } from '../../../solver/peaks/peaks.js';
import type { Quantity } from '../../../solver/rows/response-rows.js';
import { twistGauge } from '../../../solver/rows/twist-rows.js';
import { solveDeadLoad } from '../../../solver/statics/dead-load.js';
import { findMechanism } from '../../../solver/statics/mechanism.js';
import { applyDamage } from '../../../solver/viaduct/damage.js';
import type { Support, Track, Viaduct } from '../../../solver/viaduct/model.js';
import { peaksOf } from '../../verification/models/peaks-of.js';
import { rowsOf } from '../../verification/models/rows.js';
import {
  dampedSlabTrack,
  directTrack,
  trainOf,
  uniformSpans,
  viaductOf,
} from '../../verification/models/viaducts.js';

const torsion = { rigidity: 6e10, rotaryInertia: 1.2e5 };
const spread = 4;
/** A support under the axis, on which the deck may turn. */
const oneBearing: Partial<Support> = {};

function torsional(
  lengths: readonly number[],
  changes: Partial<Viaduct> = {},
  supports: Readonly<Record<number, Partial<Support>>> = {},
): Viaduct {
  const all = Object.fromEntries(
    Array.from({ length: lengths.length + 1 }, (_, i) => [
      i,
      supports[i] === oneBearing ? {} : { bearingSpread: spread, ...supports[i] },
    ]),
  );
  return viaductOf(uniformSpans(lengths, { torsion }), {
    dampingRatio: 0.01,
    supportChanges: all,
    ...changes,
  });
}

/** Largest absolute value over the rows of a quantity. */
function most(model: DynamicModel, { largest, smallest }: Peaks, quantity: Quantity): number {
  return Math.max(...rowsOf(model, quantity).map((row) => Math.max(largest[row]!, -smallest[row]!)));
}

const trackForms: readonly { readonly name: string; readonly track: Track | null }[] = [
  { name: 'no track', track: null },
  { name: 'rails on the deck', track: directTrack() },
  { name: 'slab track', track: dampedSlabTrack() },
];

describe('a bare deck loaded beside its axis', () => {
  const length = 30;
  const eccentricity = 2.2;
  const model = buildDynamicModel(torsional([length], { tracks: [{ eccentricity }] }));

  it('goes down by bending and by torsion under the track', () => {
    const row = rowsOf(model, 'deck-deflection').find(
      (index) => Math.abs(model.rows[index]!.x - length / 2) < 1e-6,
    )!;
    const { flexuralRigidity } = model.mesh.deck[0]!;
    const expected =
      length ** 3 / (48 * flexuralRigidity) + (eccentricity ** 2 * length) / (4 * torsion.rigidity);
    const most = Math.max(...wholeLine(model.influenceLines[row]!, model.line.count));
    expect(most / expected).toBeCloseTo(1, 5);
  });

  it('twists by what the torque next to a support does over 3 m', () => {
    // A load at x leaves the torque P e (1 - x / L) in front of it.
    const worst = Math.max(
      ...rowsOf(model, 'deck-twist').map((row) =>
        Math.max(...wholeLine(model.influenceLines[row]!, model.line.count)),
      ),
    );
    const expected = (twistGauge * eccentricity * 3 * (1 - 3 / length)) / torsion.rigidity;
    expect(worst / expected).toBeCloseTo(1, 2);
  });

  it('presses on the bearing below the track by more than the whole load where the track lies outside it', () => {
    const right = rowsOf(model, 'bearing-reaction').find(
      (row) => model.rows[row]!.support === 0 && model.rows[row]!.bearing === 'right',
    )!;
    const most = Math.max(...model.influenceLines[right]!.jumps.map(({ beyond }) => beyond));
    expect(most).toBeCloseTo(1 / 2 + eccentricity / spread, 6);
  });
});

describe.each(trackForms)('two tracks with $name', ({ track }) => {
  const train = trainOf([0, 3, 18, 21], 170e3);
  const model = buildDynamicModel(
    torsional([20, 24], { track, tracks: [{ eccentricity: -2 }, { eccentricity: 2 }] }),
  );

  it('do the same on either side of a symmetric deck', () => {
    const [left, right] = [0, 1].map((which) => onTrack(model, which));
    const [a, b] = [left!, right!].map((one) => peaksOf(one, train, 45));
    for (const quantity of [
      'deck-acceleration',
      'deck-deflection',
      'deck-twist',
      'bending',
      'bearing-reaction',
    ] as const)
      expect(most(left!, a!, quantity) / most(right!, b!, quantity)).toBeCloseTo(1, 4);
  });

  it('feel more under the track with the train than under the other', () => {
    const peaks = peaksOf(model, train, 45);
    const under = (which: number) =>
      Math.max(
        ...rowsOf(model, 'deck-deflection')
          .filter((row) => model.rows[row]!.track === which)
          .map((row) => peaks.largest[row]!),
      );
    expect(under(0)).toBeGreaterThan(1.05 * under(1));
  });

  it('creep to the quasi-static passage as the train slows down', () => {
    const right = onTrack(model, 1);
    const tables = buildTrainTables(right, train, 'forward');
    const slow = runPassage(right, tables, 0.5);
    const still = quasiStaticPeaks(right, tables);
    for (const quantity of ['deck-deflection', 'deck-twist', 'bending', 'bearing-reaction'] as const)
      expect(most(right, slow, quantity) / most(right, still, quantity)).toBeCloseTo(1, 2);
  });
});

describe.each(trackForms)('a track ever closer to the axis, $name', ({ track }) => {
  const train = trainOf([0, 2.5, 17, 19.5], 200e3);
  const quantities = [
    'deck-acceleration',
    'deck-deflection',
    'bending',
    'shear',
    'support-reaction',
  ] as const;

  it('comes to what a deck without torsion does', () => {
    const plain = buildDynamicModel(viaductOf(uniformSpans([22, 22]), { track, dampingRatio: 0.01 }));
    const near = buildDynamicModel(torsional([22, 22], { track, tracks: [{ eccentricity: 1e-4 }] }));
    const [a, b] = [plain, near].map((one) => peaksOf(one, train, 60));
    // A deck that turns is looked at in more places.
    for (const quantity of quantities) {
      const share = most(near, b!, quantity) / most(plain, a!, quantity);
      expect(share).toBeGreaterThan(0.9995);
      expect(share).toBeLessThan(1.002);
    }
    expect(most(near, b!, 'deck-twist')).toBeLessThan(1e-6);
  });
});

describe('one of two bearings lost', () => {
  const lost = { kind: 'bearing-loss', support: 'S1', side: 'left' } as const;

  it('lets the deck turn and go down on the side that lost it, and the other bearing carries everything', () => {
    const intact = torsional([25, 25]);
    const damaged = applyDamage(intact, [lost]);
    const [before, after] = [solveDeadLoad(intact), solveDeadLoad(damaged)];
    expect(after.deflectionAt(25, 'left', -2)).toBeGreaterThan(before.deflectionAt(25, 'left', -2) + 1e-4);
    expect(after.deflectionAt(25, 'left', 2)).toBeCloseTo(0, 6);
    const left = after.bearings.filter(({ support }) => support === 1);
    expect(left.map(({ side }) => side)).toEqual(['right']);
    expect(left[0]!.reaction).toBeCloseTo(after.reactions[1]!, 3);
    const sum = (values: Float64Array) => values.reduce((total, value) => total + value, 0);
    expect(sum(after.reactions) / sum(before.reactions)).toBeCloseTo(1, 9);
  });

  it('couples bending and torsion under a train on the axis', () => {
    const train = trainOf([0, 3], 200e3);
    const twist = (viaduct: Viaduct) => {
      const model = buildDynamicModel(viaduct);
      return most(model, peaksOf(model, train, 40), 'deck-twist');
    };
    const intact = torsional([25, 25]);
    expect(twist(intact)).toBeLessThan(1e-9);
    expect(twist(applyDamage(intact, [lost]))).toBeGreaterThan(2e-5);
  });

  it('is the loss of the support line once both are gone', () => {
    const both = applyDamage(torsional([25, 25]), [lost, { ...lost, side: 'right' }]);
    expect(both.supports[1]!.bearing).toBe(false);
  });

  it('leaves a mechanism where nothing else holds the rotation', () => {
    const single = torsional([25], {}, { 0: oneBearing });
    expect(findMechanism(single)).toBeNull();
    expect(findMechanism(applyDamage(single, [{ ...lost }]))).not.toBeNull();
    expect(findMechanism(torsional([25], {}, { 0: oneBearing, 1: oneBearing }))?.spans).toEqual([0]);
  });

  it('is refused where there is one bearing', () => {
    expect(() => applyDamage(viaductOf(uniformSpans([25, 25])), [lost])).toThrow(/spread/);
  });
});

it('a crack takes torsional rigidity with it, and no inertia', () => {
  const cracked = applyDamage(torsional([25]), [
    { kind: 'deck-stiffness-loss', span: 0, from: 5, to: 10, fraction: 0.4 },
  ]);
  expect(cracked.spans[0]!.segments.map((one) => one.torsion)).toEqual([
    torsion,
    { ...torsion, rigidity: 0.6 * torsion.rigidity },
    torsion,
  ]);
});
