import { Matrix, solve } from 'ml-matrix';

export interface ContinuousSpan {
  readonly length: number;
  readonly flexuralRigidity: number;
  /** N/m downwards. */
  readonly load: number;
}

/**
 * Support moments (sagging positive) of a continuous beam on rigid supports with settlements, by the equation of three moments
 * (B. P. E. Clapeyron, 1857; S. Timoshenko, Strength of Materials, part I):
 *
 * M(i-1) L/EI + 2 M(i) (L/EI + L'/EI') + M(i+1) L'/EI' = -q L^3/(4 EI) - q' L'^3/(4 EI') + 6 ((d(i) - d(i-1))/L + (d(i) - d(i+1))/L').
 */
export function supportMoments(
  spans: readonly ContinuousSpan[],
  settlements: readonly number[] = [],
): number[] {
  const inner = spans.length - 1;
  if (inner === 0) return [0, 0];
  const left = Matrix.zeros(inner, inner);
  const right = Matrix.zeros(inner, 1);
  const d = (index: number) => settlements[index] ?? 0;
  for (let row = 0; row < inner; row++) {
    const before = spans[row]!;
    const after = spans[row + 1]!;
    const a = before.length / before.flexuralRigidity;
    const b = after.length / after.flexuralRigidity;
    left.set(row, row, 2 * (a + b));
    if (row > 0) left.set(row, row - 1, a);
    if (row + 1 < inner) left.set(row, row + 1, b);
    const loads = (a * before.load * before.length ** 2 + b * after.load * after.length ** 2) / 4;
    const support = row + 1;
    const slopes =
      (d(support) - d(support - 1)) / before.length + (d(support) - d(support + 1)) / after.length;
    right.set(row, 0, 6 * slopes - loads);
  }
  return [0, ...solve(left, right).to1DArray(), 0];
}

/** Reactions, upwards positive. */
export function reactionsFrom(spans: readonly ContinuousSpan[], moments: readonly number[]): number[] {
  const reactions = new Array<number>(spans.length + 1).fill(0);
  spans.forEach(({ length, load }, span) => {
    const slope = (moments[span + 1]! - moments[span]!) / length;
    reactions[span]! += (load * length) / 2 + slope;
    reactions[span + 1]! += (load * length) / 2 - slope;
  });
  return reactions;
}
