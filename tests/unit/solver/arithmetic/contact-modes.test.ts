import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { contactModes, modeStride, ScalarContactModes } from '../../../../solver/arithmetic/contact-modes.js';
import { seededRandom } from '../../../../solver/arithmetic/random.js';

/** What an update makes of the same numbers in two arithmetics. */
function bothUpdated(modes: number, wheels: number, seed: number) {
  const rows = 6;
  const fill = seededRandom(seed + 1);
  const table = Float64Array.from({ length: rows * modeStride(modes) }, (_, k) =>
    k % modeStride(modes) < modes ? fill() : 0,
  );
  return [new ScalarContactModes(modes, wheels, table), contactModes(modes, wheels, table)].map((contact) => {
    const random = seededRandom(seed);
    for (const values of [contact.predicted, contact.follows])
      for (let j = 0; j < modes; j++) values[j] = random();
    for (let wheel = 0; wheel < wheels; wheel++) {
      contact.forces[wheel] = wheel % 5 === 3 ? 0 : random();
      const weights = Float64Array.from({ length: 4 }, random);
      contact.combineRows(wheel, wheel % (rows - 3), weights);
    }
    contact.respond();
    contact.deflect();
    const { modalForces, coordinates, deflections } = contact;
    return [...modalForces, ...coordinates, ...deflections];
  });
}

describe('modes under the wheels of a train, two numbers at a time', () => {
  it('are those of plain TypeScript to the bit, one train after another', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 50 }),
        fc.integer({ min: 1, max: 40 }),
        fc.integer({ min: 1, max: 1e6 }),
        (modes, wheels, seed) => {
          const [plain, paired] = bothUpdated(modes, wheels, seed);
          expect(paired).toEqual(plain);
          expect(plain!.some((value) => value !== 0)).toBe(true);
        },
      ),
    );
  });

  it('are what the sums say', () => {
    const contact = contactModes(
      2,
      2,
      Float64Array.from({ length: 6 * modeStride(2) }, (_, k) => (k % 8 < 2 ? 1 + k : 0)),
    );
    // Rows of 9 and 10, 17 and 18, 25 and 26, 33 and 34.
    contact.combineRows(1, 1, Float64Array.of(1, 2, 3, 4));
    expect([...contact.shapes.slice(contact.stride)]).toEqual([250, 260, 0, 0, 0, 0, 0, 0]);
    contact.shapes.set([1, 2], 0);
    contact.shapes.set([3, 4], contact.stride);
    contact.forces.set([10, 100]);
    contact.predicted.set([0.5, 0.25]);
    contact.follows.set([0.01, 0.1]);
    contact.respond();
    contact.deflect();
    expect([...contact.modalForces.slice(0, 2)]).toEqual([310, 420]);
    expect([...contact.coordinates.slice(0, 2)]).toEqual([0.5 + 3.1, 0.25 + 42]);
    expect(contact.deflections[0]).toBeCloseTo(3.6 + 2 * 42.25, 12);
    expect(contact.deflections[1]).toBeCloseTo(3 * 3.6 + 4 * 42.25, 12);
  });
});
