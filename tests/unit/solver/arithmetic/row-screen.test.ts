import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { BlockArithmetic } from '../../../../solver/arithmetic/block-arithmetic.js';
import { blockSteps, blockWidth } from '../../../../solver/arithmetic/block-size.js';
import { seededRandom } from '../../../../solver/arithmetic/random.js';
import {
  allocateHits,
  type RowScreen,
  type ScreenedRows,
  type SetScreen,
} from '../../../../solver/arithmetic/row-screen.js';
import type { RowSet } from '../../../../solver/arithmetic/row-set.js';
import { ScalarArithmetic } from '../../../../solver/arithmetic/scalar-arithmetic.js';
import { arithmeticFor } from '../../../../solver/arithmetic/vector-arithmetic.js';
import type { StretchBounds } from '../../../../solver/lines/stretch-bounds.js';
import { boundsOf, stretchLength } from '../../../../solver/passage/train-tables.js';

const arithmetics = [new ScalarArithmetic(), arithmeticFor(40)];
const noForces = [new Float64Array(8)];
const modeCount = 9;

interface Example {
  readonly rows: ScreenedRows;
  readonly rowCount: number;
  readonly random: () => number;
}

/** Sets of a few rows each, every other one with static parts, on random modes. */
function exampleOf(seed: number): Example {
  const random = seededRandom(seed);
  const whole = (most: number) => Math.floor(most * Math.abs(random()));
  let rowCount = 0;
  const sets = Array.from({ length: 5 }, (_, index): RowSet => {
    const rows = Int32Array.from({ length: 1 + whole(6) }, () => rowCount++);
    const modes = Int32Array.from({ length: 1 + whole(modeCount - 1) }, (_, k) => k + 1);
    const values = Float64Array.from({ length: rows.length * modes.length }, random);
    const most = modes.map((_, k) => k);
    const largest = Float64Array.from(most, (k) =>
      Math.max(...Array.from(rows, (_, member) => Math.abs(values[member * modes.length + k]!))),
    );
    const acceleration = index % 2 === 0;
    return { acceleration, rows, modes, values, most: largest };
  });
  const bounds = (): StretchBounds => {
    const values = Float64Array.from({ length: 40 + whole(300) }, random);
    return { firstStretch: whole(4), ...boundsOf(values, stretchLength) };
  };
  const statics = sets.flatMap(({ acceleration, rows }) =>
    Array.from(rows, () => (acceleration ? null : bounds())),
  );
  const setBounds = sets.map(({ rows }) => {
    const tables = Array.from(rows, (row) => statics[row]).filter((one) => one != null);
    if (tables.length === 0) return null;
    const end = Math.max(...tables.map(({ firstStretch, highs }) => firstStretch + highs.length));
    const highs = new Float64Array(end);
    const lows = new Float64Array(end);
    for (const one of tables)
      one.highs.forEach((high, k) => {
        const at = one.firstStretch + k;
        highs[at] = Math.max(highs[at]!, high);
        lows[at] = Math.min(lows[at]!, one.lows[k]!);
      });
    return { firstStretch: 0, highs, lows };
  });
  return { rows: { sets, statics, setBounds }, rowCount, random };
}

const filled = (arithmetic: BlockArithmetic, length: number, value: () => number) => {
  const array = arithmetic.allocate(length);
  for (let k = 0; k < length; k++) array[k] = value();
  return array;
};

/** Stretch of the tables under each column. */
function stretchesFrom(arithmetic: BlockArithmetic, start: number, rate: number) {
  const stretches = arithmetic.allocateIntegers(blockWidth);
  for (let b = 0; b < blockWidth; b++) stretches[b] = Math.floor((start + rate * b) / stretchLength);
  return stretches;
}

const seeds = fc.integer({ min: 1, max: 1e6 });
const starts = fc.integer({ min: -200, max: 400 });
const rates = fc.constantFrom(2.3, 0.7, -1.9);
const sizes = fc.double({ min: 0.1, max: 4, noNaN: true });

describe('rows screened two numbers at a time', () => {
  it('are the same sets as in plain TypeScript, with the same bounds', () => {
    fc.assert(
      fc.property(seeds, starts, rates, sizes, (seed, start, rate, size) => {
        const answers = arithmetics.map((arithmetic) => {
          const { rows, random } = exampleOf(seed);
          const count = rows.sets.length;
          arithmetic.begin(noForces, rows);
          const screen: SetScreen = {
            departureMost: filled(arithmetic, modeCount, () => Math.abs(random())),
            accelerationMost: filled(arithmetic, modeCount, () => Math.abs(random())),
            leastUpper: filled(arithmetic, count, () => size),
            greatestLower: filled(arithmetic, count, () => -size),
            stretches: stretchesFrom(arithmetic, start, rate),
            ...allocateHits(arithmetic, count),
          };
          const found = arithmetic.screenSets(screen);
          const { hits, highs, lows, tops, bottoms } = screen;
          return [found, ...[hits, highs, lows, tops, bottoms].flatMap((one) => [...one.slice(0, found)])];
        });
        expect(answers[1]).toEqual(answers[0]);
      }),
    );
  });

  it('are told apart by the screen that asks: two of one passage, in turn', () => {
    const answers = arithmetics.map((arithmetic) => {
      const { rows, random } = exampleOf(7);
      const count = rows.sets.length;
      arithmetic.begin(noForces, rows);
      const screenOf = (size: number): SetScreen => ({
        departureMost: filled(arithmetic, modeCount, () => Math.abs(random())),
        accelerationMost: filled(arithmetic, modeCount, () => Math.abs(random())),
        leastUpper: filled(arithmetic, count, () => size),
        greatestLower: filled(arithmetic, count, () => -size),
        stretches: stretchesFrom(arithmetic, 0, 1),
        ...allocateHits(arithmetic, count),
      });
      const [all, none] = [screenOf(0), screenOf(1e6)];
      return [all, none, all].map((screen) => arithmetic.screenSets(screen));
    });
    expect(answers[0]).toEqual([5, 0, 5]);
    expect(answers[1]).toEqual(answers[0]);
  });

  it('are the same rows, first by sizes and then by samples, with the same bounds and columns', () => {
    let rowsFound = 0;
    let rowsLeft = 0;
    fc.assert(
      fc.property(
        seeds,
        starts,
        rates,
        sizes,
        fc.constantFrom(1, 4, 16),
        (seed, start, rate, size, stride) => {
          const answers = arithmetics.map((arithmetic) => {
            const { rows, rowCount, random } = exampleOf(seed);
            arithmetic.begin(noForces, rows);
            const columns = blockSteps / stride + 1;
            const members = arithmetic.allocateIntegers(8);
            for (let k = 0; k < 8; k++) members[k] = k;
            const most = filled(arithmetic, modeCount, () => Math.abs(random()));
            const screen: RowScreen = {
              ...{ set: 0, members, first: 0, count: 0, most },
              upper: filled(arithmetic, rowCount, () => size),
              lower: filled(arithmetic, rowCount, () => -size),
              ...{ setHigh: size / 2, setLow: -size / 2 },
              stretches: stretchesFrom(arithmetic, start, rate),
              ...{ chosen: arithmetic.allocateIntegers(modeCount), chosenCount: 0 },
              samples: filled(arithmetic, modeCount * (blockSteps + 1), random),
              ...{ columns, stride, firstColumn: 3, slack: 0.1 },
              history: arithmetic.allocate(blockSteps + 1),
              hits: arithmetic.allocateIntegers(8),
              highs: arithmetic.allocate(8),
              lows: arithmetic.allocate(8),
              tops: arithmetic.allocate(8),
              bottoms: arithmetic.allocate(8),
              from: arithmetic.allocateIntegers(8),
              to: arithmetic.allocateIntegers(8),
            };
            const { hits, highs, lows, tops, bottoms, from, to, chosen } = screen;
            return rows.sets.flatMap(({ rows: own, modes }, index) => {
              screen.set = index;
              screen.first = own.length > 2 ? 1 : 0;
              screen.count = own.length - screen.first;
              screen.chosenCount = Math.ceil(modes.length / 2);
              for (let c = 0; c < screen.chosenCount; c++) chosen[c] = 2 * c;
              const found = arithmetic.screenSizes(screen);
              const bySize = [hits, highs, lows, tops, bottoms].flatMap((one) => [...one.slice(0, found)]);
              const kept = arithmetic.screenSamples(screen, found);
              rowsFound += found;
              rowsLeft += kept;
              const bySamples = [hits, tops, bottoms, from, to].flatMap((one) => [...one.slice(0, kept)]);
              return [found, ...bySize, kept, ...bySamples];
            });
          });
          expect(answers[1]).toEqual(answers[0]);
        },
      ),
    );
    expect(rowsFound).toBeGreaterThan(100);
    expect(rowsLeft).toBeGreaterThan(0);
    expect(rowsLeft).toBeLessThan(rowsFound);
  });

  it('are evaluated to the same bits', () => {
    const columns = fc.tuple(
      fc.integer({ min: 0, max: blockWidth - 1 }),
      fc.integer({ min: 0, max: blockWidth - 1 }),
    );
    fc.assert(
      fc.property(seeds, columns, (seed, [a, b]) => {
        const [from, to] = [Math.min(a, b), Math.max(a, b)];
        const answers = arithmetics.map((arithmetic) => {
          const { rows, random } = exampleOf(seed);
          arithmetic.begin(noForces, rows);
          const source = filled(arithmetic, modeCount * blockWidth, random);
          const moving = arithmetic.allocate(blockWidth);
          return rows.sets.flatMap(({ rows: own }, set) => {
            arithmetic.evaluateRow({ set, member: own.length - 1, source, moving }, from, to);
            return [...moving.slice(from, to + 1)];
          });
        });
        expect(answers[1]).toEqual(answers[0]);
        expect(answers[0]!.some((value) => value !== 0)).toBe(true);
      }),
    );
  });
});
