// AssemblyScript, not TypeScript: compiled to WebAssembly by `npm run build:kernel`. Pointers are byte addresses.
// Two columns per instruction; every sum is taken in the order of scalar-arithmetic.ts, so that the results are the same to the bit.

import { contract } from './contract';
import { four } from './sums';

/** Bytes per mode of the histories of a block; as in block-size.ts. */
const row: usize = 70 << 3;

/**
 * See BlockArithmetic.rotate; four coordinates and four columns at a time.
 *
 * @param rotation count x count, row by row
 * @param source histories of the group's modes
 * @param target histories of its coordinates
 * @param sources room for an address per mode
 */
export function rotate(rotation: usize, source: usize, count: i32, target: usize, sources: usize): void {
  const values = <usize>count << 3;
  let coordinate = 0;
  for (; coordinate + 3 < count; coordinate += 4) {
    for (let at: usize = 0; at + 32 <= row; at += 32)
      rotateFour(rotation, values, source + at, count, target + at);
    // The last four columns take in two that are there already.
    rotateFour(rotation, values, source + row - 32, count, target + row - 32);
    rotation += 4 * values;
    target += 4 * row;
  }
  if (coordinate === count) return;
  for (let k: usize = 0; k < <usize>count; k++) store<u32>(sources + (k << 2), <u32>(source + k * row));
  for (; coordinate < count; coordinate++) {
    contract(rotation, sources, count, target, 0, 70);
    rotation += values;
    target += row;
  }
}

/** Four columns of four coordinates. */
function rotateFour(rotation: usize, values: usize, source: usize, count: i32, target: usize): void {
  let first0 = f64x2.splat(0);
  let first1 = f64x2.splat(0);
  let second0 = f64x2.splat(0);
  let second1 = f64x2.splat(0);
  let third0 = f64x2.splat(0);
  let third1 = f64x2.splat(0);
  let fourth0 = f64x2.splat(0);
  let fourth1 = f64x2.splat(0);
  let k = 0;
  for (; k + 3 < count; k += 4) {
    const i0 = v128.load(source);
    const i1 = v128.load(source, 16);
    const j0 = v128.load(source + row);
    const j1 = v128.load(source + row, 16);
    const l0 = v128.load(source + 2 * row);
    const l1 = v128.load(source + 2 * row, 16);
    const m0 = v128.load(source + 3 * row);
    const m1 = v128.load(source + 3 * row, 16);
    let w = rotation;
    let a = v128.load64_splat(w);
    let b = v128.load64_splat(w, 8);
    let c = v128.load64_splat(w, 16);
    let d = v128.load64_splat(w, 24);
    first0 = f64x2.add(first0, four(a, b, c, d, i0, j0, l0, m0));
    first1 = f64x2.add(first1, four(a, b, c, d, i1, j1, l1, m1));
    w += values;
    a = v128.load64_splat(w);
    b = v128.load64_splat(w, 8);
    c = v128.load64_splat(w, 16);
    d = v128.load64_splat(w, 24);
    second0 = f64x2.add(second0, four(a, b, c, d, i0, j0, l0, m0));
    second1 = f64x2.add(second1, four(a, b, c, d, i1, j1, l1, m1));
    w += values;
    a = v128.load64_splat(w);
    b = v128.load64_splat(w, 8);
    c = v128.load64_splat(w, 16);
    d = v128.load64_splat(w, 24);
    third0 = f64x2.add(third0, four(a, b, c, d, i0, j0, l0, m0));
    third1 = f64x2.add(third1, four(a, b, c, d, i1, j1, l1, m1));
    w += values;
    a = v128.load64_splat(w);
    b = v128.load64_splat(w, 8);
    c = v128.load64_splat(w, 16);
    d = v128.load64_splat(w, 24);
    fourth0 = f64x2.add(fourth0, four(a, b, c, d, i0, j0, l0, m0));
    fourth1 = f64x2.add(fourth1, four(a, b, c, d, i1, j1, l1, m1));
    source += 4 * row;
    rotation += 32;
  }
  for (; k < count; k++) {
    const i0 = v128.load(source);
    const i1 = v128.load(source, 16);
    let a = v128.load64_splat(rotation);
    first0 = f64x2.add(first0, f64x2.mul(a, i0));
    first1 = f64x2.add(first1, f64x2.mul(a, i1));
    a = v128.load64_splat(rotation + values);
    second0 = f64x2.add(second0, f64x2.mul(a, i0));
    second1 = f64x2.add(second1, f64x2.mul(a, i1));
    a = v128.load64_splat(rotation + 2 * values);
    third0 = f64x2.add(third0, f64x2.mul(a, i0));
    third1 = f64x2.add(third1, f64x2.mul(a, i1));
    a = v128.load64_splat(rotation + 3 * values);
    fourth0 = f64x2.add(fourth0, f64x2.mul(a, i0));
    fourth1 = f64x2.add(fourth1, f64x2.mul(a, i1));
    source += row;
    rotation += 8;
  }
  v128.store(target, first0);
  v128.store(target, first1, 16);
  v128.store(target + row, second0);
  v128.store(target + row, second1, 16);
  v128.store(target + 2 * row, third0);
  v128.store(target + 2 * row, third1, 16);
  v128.store(target + 3 * row, fourth0);
  v128.store(target + 3 * row, fourth1, 16);
}
