// AssemblyScript, not TypeScript: compiled to WebAssembly by `npm run build:kernel`. Pointers are byte addresses.

import { addLanes, dot } from './sums';

/**
 * Takes out of a candidate what each vector of a basis has in common with it, four vectors at a time.
 *
 * @param mass the mass times the candidate as it is before
 * @param stride numbers per vector, a multiple of four
 * @returns what the last vector had in common with it; 0 without one
 */
export function project(candidate: usize, mass: usize, basis: usize, count: i32, stride: i32): f64 {
  const bytes = <usize>stride << 3;
  let k = 0;
  let last = f64x2.splat(0);
  for (; k + 3 < count; k += 4) {
    const a = basis + <usize>k * bytes;
    const b = a + bytes;
    const c = b + bytes;
    const d = c + bytes;
    let alongA = f64x2.splat(0);
    let alongB = f64x2.splat(0);
    let alongC = f64x2.splat(0);
    let alongD = f64x2.splat(0);
    let besideA = f64x2.splat(0);
    let besideB = f64x2.splat(0);
    let besideC = f64x2.splat(0);
    let besideD = f64x2.splat(0);
    for (let at: usize = 0; at < bytes; at += 32) {
      const first = v128.load(mass + at);
      const second = v128.load(mass + at, 16);
      alongA = f64x2.add(alongA, f64x2.mul(first, v128.load(a + at)));
      alongB = f64x2.add(alongB, f64x2.mul(first, v128.load(b + at)));
      alongC = f64x2.add(alongC, f64x2.mul(first, v128.load(c + at)));
      alongD = f64x2.add(alongD, f64x2.mul(first, v128.load(d + at)));
      besideA = f64x2.add(besideA, f64x2.mul(second, v128.load(a + at, 16)));
      besideB = f64x2.add(besideB, f64x2.mul(second, v128.load(b + at, 16)));
      besideC = f64x2.add(besideC, f64x2.mul(second, v128.load(c + at, 16)));
      besideD = f64x2.add(besideD, f64x2.mul(second, v128.load(d + at, 16)));
    }
    alongA = everywhere(f64x2.add(alongA, besideA));
    alongB = everywhere(f64x2.add(alongB, besideB));
    alongC = everywhere(f64x2.add(alongC, besideC));
    alongD = everywhere(f64x2.add(alongD, besideD));
    last = alongD;
    for (let at: usize = 0; at < bytes; at += 16) {
      let left = f64x2.sub(v128.load(candidate + at), f64x2.mul(alongA, v128.load(a + at)));
      left = f64x2.sub(left, f64x2.mul(alongB, v128.load(b + at)));
      left = f64x2.sub(left, f64x2.mul(alongC, v128.load(c + at)));
      left = f64x2.sub(left, f64x2.mul(alongD, v128.load(d + at)));
      v128.store(candidate + at, left);
    }
  }
  for (; k < count; k++) {
    const a = basis + <usize>k * bytes;
    const along = f64x2.splat(dot(mass, a, stride));
    last = along;
    for (let at: usize = 0; at < bytes; at += 16)
      v128.store(
        candidate + at,
        f64x2.sub(v128.load(candidate + at), f64x2.mul(along, v128.load(a + at))),
      );
  }
  return f64x2.extract_lane(last, 0);
}

// @ts-ignore: decorator
@inline
function everywhere(sums: v128): v128 {
  return f64x2.splat(addLanes(sums));
}

/** Bytes of each vector that are combined at a time: that much of a whole basis stays near the processor until the last sum has it. */
const combinedTogether: usize = 4096;

/**
 * Each of some targets = sum over the vectors of a basis, each times its weight; four vectors at a time.
 *
 * @param targets one behind the other, as the vectors of the basis
 * @param weights of the first target, then of the second and so on
 */
export function combine(
  targets: usize,
  basis: usize,
  weights: usize,
  count: i32,
  stride: i32,
  sums: i32,
): void {
  const bytes = <usize>stride << 3;
  for (let from: usize = 0; from < bytes; from += combinedTogether) {
    const to = min(from + combinedTogether, bytes);
    let weight = weights;
    for (let sum = 0; sum < sums; sum++) {
      combinePart(targets + <usize>sum * bytes, basis, weight, count, bytes, from, to);
      weight += <usize>count << 3;
    }
  }
}

function combinePart(
  target: usize,
  basis: usize,
  weights: usize,
  count: i32,
  bytes: usize,
  from: usize,
  to: usize,
): void {
  memory.fill(target + from, 0, to - from);
  let k = 0;
  for (; k + 3 < count; k += 4) {
    const a = basis + <usize>k * bytes;
    const b = a + bytes;
    const c = b + bytes;
    const d = c + bytes;
    const ofA = v128.load64_splat(weights);
    const ofB = v128.load64_splat(weights, 8);
    const ofC = v128.load64_splat(weights, 16);
    const ofD = v128.load64_splat(weights, 24);
    for (let at = from; at < to; at += 16) {
      let sum = f64x2.add(v128.load(target + at), f64x2.mul(ofA, v128.load(a + at)));
      sum = f64x2.add(sum, f64x2.mul(ofB, v128.load(b + at)));
      sum = f64x2.add(sum, f64x2.mul(ofC, v128.load(c + at)));
      sum = f64x2.add(sum, f64x2.mul(ofD, v128.load(d + at)));
      v128.store(target + at, sum);
    }
    weights += 32;
  }
  for (; k < count; k++) {
    const a = basis + <usize>k * bytes;
    const ofA = v128.load64_splat(weights);
    for (let at = from; at < to; at += 16)
      v128.store(target + at, f64x2.add(v128.load(target + at), f64x2.mul(ofA, v128.load(a + at))));
    weights += 8;
  }
}

/**
 * Solves L D L^T x = b in place, two rows at a time; see pair-rows.ts.
 *
 * @param x its first row; `window` zeros stand before and after all rows
 */
export function solvePairs(
  forward: usize,
  backward: usize,
  pivots: usize,
  x: usize,
  pairs: i32,
  window: i32,
): void {
  const reach = <usize>window << 3;
  let entries = forward;
  let row = x;
  for (let pair = 0; pair < pairs; pair++) {
    let even = f64x2.splat(0);
    let odd = f64x2.splat(0);
    for (let unknown = row - reach; unknown < row; unknown += 16) {
      even = f64x2.add(even, f64x2.mul(v128.load(entries), v128.load64_splat(unknown)));
      odd = f64x2.add(odd, f64x2.mul(v128.load(entries, 16), v128.load64_splat(unknown, 8)));
      entries += 32;
    }
    const both = f64x2.sub(v128.load(row), f64x2.add(even, odd));
    const first = f64x2.extract_lane(both, 0);
    store<f64>(row, first);
    store<f64>(row, f64x2.extract_lane(both, 1) - load<f64>(entries) * first, 8);
    entries += 16;
    row += 16;
  }
  const each = ((<usize>window << 1) + 2) << 3;
  let pivot = pivots + ((<usize>pairs << 1) << 3);
  let own = backward + <usize>pairs * each;
  for (let pair = 0; pair < pairs; pair++) {
    row -= 16;
    pivot -= 16;
    own -= each;
    entries = own;
    let even = f64x2.splat(0);
    let odd = f64x2.splat(0);
    for (let unknown = row + 8 + reach; unknown > row + 8; unknown -= 16) {
      even = f64x2.add(even, f64x2.mul(v128.load(entries), v128.load64_splat(unknown)));
      odd = f64x2.add(odd, f64x2.mul(v128.load(entries, 16), v128.load64_splat(unknown - 8)));
      entries += 32;
    }
    const both = f64x2.sub(f64x2.div(v128.load(row), v128.load(pivot)), f64x2.add(even, odd));
    const second = f64x2.extract_lane(both, 1);
    store<f64>(row, second, 8);
    store<f64>(row, f64x2.extract_lane(both, 0) - load<f64>(entries) * second);
  }
}

/** target = A source, by the nonzero entries of each row; `columns` in bytes. Source times target is returned. */
export function multiplyRows(
  starts: usize,
  columns: usize,
  values: usize,
  source: usize,
  target: usize,
  size: i32,
): f64 {
  let k = load<i32>(starts);
  let along: f64 = 0;
  let own = source;
  for (let row = 0; row < size; row++) {
    starts += 4;
    const end = load<i32>(starts);
    let sum: f64 = 0;
    for (; k < end; k++) {
      sum += load<f64>(values) * load<f64>(source + <usize>load<u32>(columns));
      values += 8;
      columns += 4;
    }
    store<f64>(target, sum);
    along += load<f64>(own) * sum;
    target += 8;
    own += 8;
  }
  return along;
}

/** vector *= factor. */
export function scale(vector: usize, stride: i32, factor: f64): void {
  const by = f64x2.splat(factor);
  const end = vector + (<usize>stride << 3);
  for (; vector < end; vector += 16) v128.store(vector, f64x2.mul(by, v128.load(vector)));
}
