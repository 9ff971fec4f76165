import { inverse, Matrix } from 'ml-matrix';
import type { DenseSystem } from './dense-frame.js';

/** State after a step: displacement, velocity and acceleration over the free freedoms. */
export type StepVisitor = (step: number, u: Float64Array, a: Float64Array) => void;

/**
 * Direct integration of M u" + C u' + K u = f(t) from rest with constant mean acceleration: N. M. Newmark, Journal of the Engineering
 * Mechanics Division 85(3), 1959, gamma = 1/2, beta = 1/4.
 *
 * @param load writes f at a time into a zeroed vector
 */
export function integrateNewmark(
  { stiffness, mass }: DenseSystem,
  damping: Matrix | null,
  timeStep: number,
  steps: number,
  load: (t: number, f: Float64Array) => void,
  visit: StepVisitor,
): void {
  const n = stiffness.rows;
  const effective = Matrix.add(stiffness, Matrix.mul(mass, 4 / timeStep ** 2));
  if (damping) effective.add(Matrix.mul(damping, 2 / timeStep));
  const solver = rowsOf(inverse(effective));
  const massEntries = entriesOf(mass);
  const dampingEntries = damping ? entriesOf(damping) : [];
  const u = new Float64Array(n);
  const v = new Float64Array(n);
  const a = new Float64Array(n);
  const right = new Float64Array(n);
  const guess = new Float64Array(n);
  for (let step = 1; step <= steps; step++) {
    right.fill(0);
    load(step * timeStep, right);
    for (let i = 0; i < n; i++) guess[i] = (4 / timeStep ** 2) * u[i]! + (4 / timeStep) * v[i]! + a[i]!;
    accumulate(massEntries, guess, right);
    if (damping) {
      for (let i = 0; i < n; i++) guess[i] = (2 / timeStep) * u[i]! + v[i]!;
      accumulate(dampingEntries, guess, right);
    }
    for (let i = 0; i < n; i++) {
      const row = solver[i]!;
      let next = 0;
      for (let j = 0; j < n; j++) next += row[j]! * right[j]!;
      const acceleration = (4 / timeStep ** 2) * (next - u[i]!) - (4 / timeStep) * v[i]! - a[i]!;
      v[i]! += (timeStep / 2) * (a[i]! + acceleration);
      a[i] = acceleration;
      u[i] = next;
    }
    visit(step, u, a);
  }
}

type Entry = readonly [row: number, column: number, value: number];

function entriesOf(matrix: Matrix): Entry[] {
  const entries: Entry[] = [];
  for (let i = 0; i < matrix.rows; i++)
    for (let j = 0; j < matrix.columns; j++)
      if (matrix.get(i, j) !== 0) entries.push([i, j, matrix.get(i, j)]);
  return entries;
}

function accumulate(entries: readonly Entry[], x: Float64Array, y: Float64Array): void {
  for (const [i, j, value] of entries) y[i]! += value * x[j]!;
}

function rowsOf(matrix: Matrix): Float64Array[] {
  return Array.from({ length: matrix.rows }, (_, i) => Float64Array.from(matrix.getRow(i)));
}
