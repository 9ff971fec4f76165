import fc from 'fast-check';
import { inverse, Matrix } from 'ml-matrix';
import { describe, expect, it } from 'vitest';
import { FasteningConvergenceError, solveSeats } from '../../../../solver/deck-ends/seat-equilibrium.js';
import { type SeatLaw, seatForce } from '../../../../solver/deck-ends/seat-law.js';

const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });

/** A rail of 1 to 8 seats on springs, with the compliance between the seats; stretches of the linear rail of up to 2 mm. */
const seats = fc
  .record({
    linear: fc.array(number(-2e-3, 2e-3), { minLength: 1, maxLength: 8 }),
    stiffness: number(2e7, 5e8),
    harder: number(0.5, 5),
    clamping: number(0, 40e3),
    rail: number(5e6, 2e7),
    start: fc.array(number(-1e5, 1e5), { minLength: 8, maxLength: 8 }),
  })
  .map(({ linear, stiffness, harder, clamping, rail, start }) => {
    const count = linear.length;
    const law: SeatLaw = { stiffness, compressionStiffness: harder * stiffness, clampingForce: clamping };
    return {
      linear: Float64Array.from(linear),
      compliance: complianceOf(count, stiffness, rail),
      laws: linear.map(() => law),
      start: Float64Array.from(start.slice(0, count)),
      law,
    };
  });

/** Inverse of springs plus a beam of second differences, clamped nowhere. */
function complianceOf(count: number, stiffness: number, rigidity: number): Float64Array {
  const matrix = Matrix.eye(count).mul(stiffness);
  const bend = rigidity / 0.65 ** 3;
  for (let k = 1; k + 1 < count; k++) {
    const row = [1, -2, 1];
    for (let i = 0; i < 3; i++)
      for (let j = 0; j < 3; j++)
        matrix.set(k - 1 + i, k - 1 + j, matrix.get(k - 1 + i, k - 1 + j) + bend * row[i]! * row[j]!);
  }
  // A second bedding, so that a rail that has left every seat is still held.
  const held = matrix.add(Matrix.eye(count).mul(0.2 * stiffness));
  return Float64Array.from(inverse(held).to1DArray());
}

const close = (a: Float64Array, b: Float64Array) => {
  const scale = Math.max(1e-6, ...Array.from(a, Math.abs), ...Array.from(b, Math.abs));
  return a.every((value, k) => Math.abs(value - b[k]!) <= 1e-6 * scale);
};

describe('the fastenings at a deck end', () => {
  it('are in equilibrium with the structure and with their own law', () => {
    fc.assert(
      fc.property(seats, ({ linear, compliance, laws }) => {
        const { stretch, force, correction } = solveSeats(linear, compliance, laws);
        const count = linear.length;
        const scale = Math.max(1, ...stretch.map((e, s) => Math.abs(e * laws[s]!.stiffness)));
        stretch.forEach((e, s) => {
          expect(Math.abs(force[s]! - seatForce(laws[s]!, e))).toBeLessThan(1e-6 * scale);
          let sum = linear[s]!;
          for (let t = 0; t < count; t++)
            sum += compliance[s * count + t]! * (laws[t]!.stiffness * stretch[t]! - force[t]!);
          expect(Math.abs(sum - e)).toBeLessThan(1e-6 * (scale / laws[s]!.stiffness));
        });
        expect(correction.length).toBe(count);
      }),
    );
  });

  it('settle in the same place wherever the iteration starts', () => {
    fc.assert(
      fc.property(seats, ({ linear, compliance, laws, start }) => {
        const cold = solveSeats(linear, compliance, laws);
        const warm = solveSeats(linear, compliance, laws, start);
        return close(cold.stretch, warm.stretch);
      }),
    );
  });

  it('are linear while no pad is free and pads are no stiffer under pressure', () => {
    fc.assert(
      fc.property(seats, ({ linear, compliance, laws }) => {
        const most = Math.max(...linear.map(Math.abs)) * laws[0]!.stiffness;
        const linearLaws = laws.map(({ stiffness }) => ({
          stiffness,
          compressionStiffness: stiffness,
          clampingForce: 1.001 * most,
        }));
        const { stretch, iterations } = solveSeats(linear, compliance, linearLaws);
        return iterations === 0 && stretch.every((e, s) => e === linear[s]);
      }),
    );
  });

  it('never let the rail rise further for being clamped harder', () => {
    fc.assert(
      fc.property(seats, number(1, 3), ({ linear, compliance, laws }, factor) => {
        const gap = (clamping: number) => {
          const given = laws.map((law) => ({ ...law, clampingForce: clamping }));
          const { stretch } = solveSeats(linear, compliance, given);
          return { given, worst: Math.max(0, ...stretch.map((e) => -e)) };
        };
        const soft = gap(laws[0]!.clampingForce);
        const hard = gap(factor * laws[0]!.clampingForce);
        return hard.worst <= soft.worst * (1 + 1e-9) + 1e-12;
      }),
    );
  });

  it('hold a panel that rests on nothing else, also where clips that all give way would let it turn', () => {
    // A rigid panel on four seats a metre apart, pressed down a metre beside the first of them: moments about that one.
    const places = [0, 1, 2, 3];
    const law: SeatLaw = { stiffness: 1e8, compressionStiffness: 6e7, clampingForce: 4e3 };
    const basis = new Matrix(places.map((x) => [1, x]));
    const flexibility = inverse(basis.transpose().mmul(basis).mul(law.stiffness));
    const compliance = Float64Array.from(basis.mmul(flexibility).mmul(basis.transpose()).to1DArray());
    for (const load of [5e3, 12e3, 20e3, 23e3]) {
      const lowered = basis.mmul(flexibility).mmul(Matrix.columnVector([load, -load]));
      const { force, stretch } = solveSeats(
        Float64Array.from(lowered.to1DArray()),
        compliance,
        places.map(() => law),
      );
      expect(force.reduce((sum, value) => sum + value, 0) / load).toBeCloseTo(1, 6);
      expect(force.reduce((sum, value, s) => sum + value * places[s]!, 0) / load).toBeCloseTo(-1, 6);
      force.forEach((value, s) => {
        expect(value / seatForce(law, stretch[s]!)).toBeCloseTo(1, 6);
      });
      if (load > 15e3)
        expect(force.filter((value) => value === -law.clampingForce).length).toBeGreaterThan(1);
    }
  });

  it('say so when there is no equilibrium to be found', () => {
    const law: SeatLaw = { stiffness: 1e8, compressionStiffness: 1e8, clampingForce: 1e3 };
    // A structure softer than the fastening itself does not exist: without the seat it would fall.
    const impossible = Float64Array.of(1.5 / 1e8);
    expect(() => solveSeats(Float64Array.of(-1e-3), impossible, [law])).toThrow(FasteningConvergenceError);
  });
});
