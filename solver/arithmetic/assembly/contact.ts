// AssemblyScript, not TypeScript: compiled to WebAssembly by `npm run build:kernel`. Pointers are byte addresses.
// Every sum is taken in the order of contact-modes.ts, so that the results are the same to the bit.

import { dot, four } from './sums';

/**
 * See `respond` of ScalarContactModes in contact-modes.ts.
 *
 * @param modes a multiple of eight
 */
export function respondToContacts(
  shapes: usize,
  forces: usize,
  predicted: usize,
  follows: usize,
  modalForces: usize,
  coordinates: usize,
  wheels: i32,
  modes: i32,
): void {
  const bytes = <usize>modes << 3;
  const endOfForces = forces + (<usize>wheels << 3);
  for (let at: usize = 0; at < bytes; at += 64) {
    let sum0 = f64x2.splat(0);
    let sum1 = f64x2.splat(0);
    let sum2 = f64x2.splat(0);
    let sum3 = f64x2.splat(0);
    let shape = shapes + at;
    for (let wheel = forces; wheel < endOfForces; wheel += 8) {
      const force = v128.load64_splat(wheel);
      sum0 = f64x2.add(sum0, f64x2.mul(force, v128.load(shape)));
      sum1 = f64x2.add(sum1, f64x2.mul(force, v128.load(shape, 16)));
      sum2 = f64x2.add(sum2, f64x2.mul(force, v128.load(shape, 32)));
      sum3 = f64x2.add(sum3, f64x2.mul(force, v128.load(shape, 48)));
      shape += bytes;
    }
    settle(at, sum0, predicted, follows, modalForces, coordinates);
    settle(at + 16, sum1, predicted, follows, modalForces, coordinates);
    settle(at + 32, sum2, predicted, follows, modalForces, coordinates);
    settle(at + 48, sum3, predicted, follows, modalForces, coordinates);
  }
}

/** See `deflect` of ScalarContactModes in contact-modes.ts. */
export function deflectUnderContacts(
  shapes: usize,
  coordinates: usize,
  deflections: usize,
  wheels: i32,
  modes: i32,
): void {
  const bytes = <usize>modes << 3;
  for (let wheel: usize = 0; wheel < <usize>wheels; wheel++)
    store<f64>(deflections + (wheel << 3), dot(shapes + wheel * bytes, coordinates, modes));
}

// @ts-ignore: decorator
@inline
function settle(
  at: usize,
  force: v128,
  predicted: usize,
  follows: usize,
  modalForces: usize,
  coordinates: usize,
): void {
  v128.store(modalForces + at, force);
  v128.store(
    coordinates + at,
    f64x2.add(v128.load(predicted + at), f64x2.mul(v128.load(follows + at), force)),
  );
}

/**
 * See combineRows in contact-modes.ts.
 *
 * @param rows the first of four rows, one after the other
 * @param stride numbers in each, a multiple of eight
 */
export function combineRows(
  rows: usize,
  target: usize,
  stride: i32,
  first: f64,
  second: f64,
  third: f64,
  fourth: f64,
): void {
  const bytes = <usize>stride << 3;
  const a = f64x2.splat(first);
  const b = f64x2.splat(second);
  const c = f64x2.splat(third);
  const d = f64x2.splat(fourth);
  const end = rows + bytes;
  while (rows < end) {
    combine(target, rows, bytes, a, b, c, d);
    combine(target + 16, rows + 16, bytes, a, b, c, d);
    combine(target + 32, rows + 32, bytes, a, b, c, d);
    combine(target + 48, rows + 48, bytes, a, b, c, d);
    rows += 64;
    target += 64;
  }
}

// @ts-ignore: decorator
@inline
function combine(target: usize, rows: usize, bytes: usize, a: v128, b: v128, c: v128, d: v128): void {
  const below = rows + 2 * bytes;
  v128.store(
    target,
    four(a, b, c, d, v128.load(rows), v128.load(rows + bytes), v128.load(below), v128.load(below + bytes)),
  );
}
