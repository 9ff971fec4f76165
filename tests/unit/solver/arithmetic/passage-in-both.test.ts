import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../../../solver/arithmetic/random.js';
import { ScalarArithmetic } from '../../../../solver/arithmetic/scalar-arithmetic.js';
import { ScalarTaps, tapArithmetic } from '../../../../solver/arithmetic/tap-arithmetic.js';
import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { runPassage } from '../../../../solver/passage/passage.js';
import { superposeAxles } from '../../../../solver/passage/superpose.js';
import { buildTrainTables } from '../../../../solver/passage/train-tables.js';
import { slabTrack, trainOf, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';

const train = trainOf([0, 2.5, 17, 19.5, 24, 26.5, 41, 43.5, 49], 160e3);
const joints = Object.fromEntries(
  Array.from({ length: 22 }, (_, i) => [i, { stiffness: 3e9, joint: i % 3 === 0 && i > 0 && i < 21 }]),
);
const structures = [
  [
    'a bare deck on springs, where forces jump',
    viaductOf(uniformSpans([25, 25]), {
      dampingRatio: 0.01,
      supportChanges: { 0: { stiffness: 2e8 }, 2: { stiffness: 2e8 } },
    }),
  ],
  ['a continuous deck on rigid supports', viaductOf(uniformSpans([30, 40, 30]), { dampingRatio: 0.01 })],
  ['two spans with a track', viaductOf(uniformSpans([36, 36]), { dampingRatio: 0.01, track: slabTrack() })],
  [
    '21 spans with a track, in local coordinates',
    viaductOf(uniformSpans(Array.from({ length: 21 }, () => 36)), {
      dampingRatio: 0.01,
      supportChanges: joints,
      track: slabTrack(),
    }),
  ],
] as const;

describe.each(structures)('a passage over %s', (_, viaduct) => {
  const model = buildDynamicModel(viaduct);

  it.each([
    [20, 'forward'],
    [55, 'reverse'],
  ] as const)('at %i m/s %s has the same peaks to the bit in plain TypeScript', (speed, direction) => {
    const tables = buildTrainTables(model, train, direction);
    const plain = runPassage(model, tables, speed, { arithmetic: new ScalarArithmetic() });
    const paired = runPassage(model, tables, speed);
    expect(paired.steps).toBe(plain.steps);
    expect(Buffer.from(paired.largest.buffer).equals(Buffer.from(plain.largest.buffer))).toBe(true);
    expect(Buffer.from(paired.smallest.buffer).equals(Buffer.from(plain.smallest.buffer))).toBe(true);
    expect(Math.max(...plain.largest)).toBeGreaterThan(0);
  });
});

it.each(['linear', 'cubic'] as const)(
  'axles are superposed to the same bits in plain TypeScript, %s',
  (interpolation) => {
    const random = seededRandom(3);
    for (let round = 0; round < 40; round++) {
      const length = 1 + Math.floor(500 * Math.abs(random()));
      const samples = Float64Array.from({ length: length + 9 }, random);
      const shifts = Float64Array.from({ length: 12 }, (_, k) => 40 * k * Math.abs(random()));
      const loads = Float64Array.from(shifts, () => 2 + random());
      const sum = (taps: ScalarTaps | ReturnType<typeof tapArithmetic>) => {
        const values = new Float64Array(Math.ceil(length / 2) + 200);
        superposeAxles({ samples, from: 4, to: 4 + length, shifts, loads, interpolation, taps }, values, 2);
        return Buffer.from(values.buffer);
      };
      const plain = sum(new ScalarTaps());
      expect(sum(tapArithmetic()).equals(plain)).toBe(true);
      expect(plain.some((byte) => byte !== 0)).toBe(true);
    }
  },
);
