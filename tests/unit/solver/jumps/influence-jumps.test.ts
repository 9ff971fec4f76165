import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { findCrossings } from '../../../../solver/jumps/crossings.js';
import {
  heldInfluence,
  type InfluenceLine,
  ordinateAt,
  reversedInfluence,
  withoutIdleJumps,
} from '../../../../solver/jumps/influence-jumps.js';
import { wholeLine } from '../../../../solver/lines/line-samples.js';
import { superposeAxles } from '../../../../solver/passage/superpose.js';

const count = 40;

/** Sample of the right bearing. */
const end = 25;

/** The left reaction of a beam from sample `from` on: 1 as the load enters, falling to 0. */
function reaction(from: number): InfluenceLine {
  const ordinate = (place: number) => Math.max(0, (end - place) / (end - from));
  const nearest = Math.round(from);
  const onSample = Math.abs(from - nearest) < 1e-6;
  const values = Float64Array.from({ length: count }, (_, k) =>
    onSample && k === nearest ? 0.5 : k < from ? 0 : ordinate(k),
  );
  return { first: 0, values, jumps: [{ at: from, before: 0, beyond: 1, kink: 0 }] };
}

/** Left reaction under a train as it is. */
const exact = (from: number, head: number, shifts: Float64Array, loads: Float64Array) =>
  shifts.reduce((sum, shift, axle) => {
    const place = head - shift;
    return sum + (place < from || place > end ? 0 : (loads[axle]! * (end - place)) / (end - from));
  }, 0);

const trains = fc
  .array(
    fc.record({ gap: fc.double({ min: 0.3, max: 9, noNaN: true }), load: fc.integer({ min: 1, max: 9 }) }),
    {
      minLength: 1,
      maxLength: 6,
    },
  )
  .map((axles) => {
    let along = -axles[0]!.gap;
    return {
      shifts: Float64Array.from(axles, ({ gap }) => (along += gap)),
      loads: Float64Array.from(axles, ({ load }) => load),
    };
  });
/** On a sample, or well between two. */
const starts = fc.oneof(fc.constant(5), fc.double({ min: 4.001, max: 4.999, noNaN: true }));

describe('an influence line with a jump', () => {
  it('is straight between its samples and up to either side of the jump', () => {
    for (const from of [5, 5.3]) {
      expect(ordinateAt(reaction(from), from - 0.01)).toBe(0);
      expect(ordinateAt(reaction(from), from + 0.01)).toBeCloseTo(1 - 0.01 / (end - from), 12);
      expect(ordinateAt(reaction(from), from + 7.77)).toBeCloseTo(1 - 7.77 / (end - from), 12);
    }
  });

  it('has the sides of its jump change places when it is seen from the other end', () => {
    const [jump] = reversedInfluence(reaction(5.3), count).jumps;
    expect(jump).toEqual({ at: count - 1 - 5.3, before: 1, beyond: 0, kink: 0 });
  });

  it('keeps no jump that is none', () => {
    const line = reaction(5);
    const idle = { at: 9, before: 0.8, beyond: 0.8, kink: 0 };
    expect(withoutIdleJumps({ ...line, jumps: [...line.jumps, idle] }).jumps).toEqual(line.jumps);
  });

  it('held for loads between samples never makes a train look better than it is', () => {
    fc.assert(
      fc.property(
        starts,
        trains,
        fc.double({ min: 0, max: 60, noNaN: true }),
        (from, { shifts, loads }, head) => {
          const line = reaction(from);
          const [most, least] = ([1, -1] as const).map((sign) => {
            const values = new Float64Array(count + 60);
            const samples = wholeLine(heldInfluence(line, sign), count);
            superposeAxles({ samples, shifts, loads, interpolation: 'linear' }, values);
            const index = Math.floor(head);
            return values[index]! + (values[index + 1]! - values[index]!) * (head - index);
          });
          const value = exact(from, head, shifts, loads);
          expect(most).toBeGreaterThan(value - 1e-9);
          expect(least).toBeLessThan(value + 1e-9);
        },
      ),
    );
  });
});

describe('crossings of a train', () => {
  it('have the response on both sides of every jump, with the other axles where they stand', () => {
    fc.assert(
      fc.property(starts, trains, (from, { shifts, loads }) => {
        const { heads, highs, lows } = findCrossings(reaction(from), shifts, loads, 1)!;
        expect(heads).toHaveLength(shifts.length);
        heads.forEach((head, k) => {
          expect(highs[k]).toBeCloseTo(exact(from, head + 1e-7, shifts, loads), 4);
          expect(lows[k]).toBeCloseTo(exact(from, head - 1e-7, shifts, loads), 4);
        });
      }),
    );
  });

  it('take two axles on two jumps at once on whichever side is worse', () => {
    const jumps = [
      { at: 10, before: 0, beyond: 1, kink: 0 },
      { at: 20, before: 1, beyond: 0, kink: 0 },
    ];
    const values = Float64Array.from({ length: count }, (_, k) =>
      k === 10 || k === 20 ? 0.5 : k > 10 && k < 20 ? 1 : 0,
    );
    const { heads, highs, lows } = findCrossings(
      { first: 0, values, jumps },
      Float64Array.of(0, 10),
      Float64Array.of(2, 3),
      1,
    )!;
    const both = heads.indexOf(20);
    expect([highs[both], lows[both]]).toEqual([5, 0]);
  });

  it('are none where a line does not jump', () => {
    expect(
      findCrossings({ ...reaction(5), jumps: [] }, Float64Array.of(0), Float64Array.of(1), 1),
    ).toBeNull();
  });
});
