// AssemblyScript, not TypeScript: compiled to WebAssembly by `npm run build:kernel`. Pointers are byte addresses.
// Two columns or two modes per instruction; every sum is taken in the order of scalar-arithmetic.ts, so that the results are the same to
// the bit.

import { four } from './sums';

/** target[column] = sum over k of weights[k] times the column of source k, for columns from `from` up to `to`. */
export function contract(
  weights: usize,
  sources: usize,
  count: i32,
  target: usize,
  from: i32,
  to: i32,
): void {
  let column = from;
  for (; column + 8 <= to; column += 8) {
    const at = <usize>column << 3;
    let w = weights;
    let s = sources;
    let sum0 = f64x2.splat(0);
    let sum1 = f64x2.splat(0);
    let sum2 = f64x2.splat(0);
    let sum3 = f64x2.splat(0);
    let k = 0;
    for (; k + 3 < count; k += 4) {
      const a = v128.load64_splat(w);
      const b = v128.load64_splat(w, 8);
      const c = v128.load64_splat(w, 16);
      const d = v128.load64_splat(w, 24);
      const i = <usize>load<u32>(s) + at;
      const j = <usize>load<u32>(s, 4) + at;
      const l = <usize>load<u32>(s, 8) + at;
      const m = <usize>load<u32>(s, 12) + at;
      sum0 = f64x2.add(sum0, four(a, b, c, d, v128.load(i), v128.load(j), v128.load(l), v128.load(m)));
      sum1 = f64x2.add(
        sum1,
        four(a, b, c, d, v128.load(i, 16), v128.load(j, 16), v128.load(l, 16), v128.load(m, 16)),
      );
      sum2 = f64x2.add(
        sum2,
        four(a, b, c, d, v128.load(i, 32), v128.load(j, 32), v128.load(l, 32), v128.load(m, 32)),
      );
      sum3 = f64x2.add(
        sum3,
        four(a, b, c, d, v128.load(i, 48), v128.load(j, 48), v128.load(l, 48), v128.load(m, 48)),
      );
      w += 32;
      s += 16;
    }
    for (; k < count; k++) {
      const a = v128.load64_splat(w);
      const i = <usize>load<u32>(s) + at;
      sum0 = f64x2.add(sum0, f64x2.mul(a, v128.load(i)));
      sum1 = f64x2.add(sum1, f64x2.mul(a, v128.load(i, 16)));
      sum2 = f64x2.add(sum2, f64x2.mul(a, v128.load(i, 32)));
      sum3 = f64x2.add(sum3, f64x2.mul(a, v128.load(i, 48)));
      w += 8;
      s += 4;
    }
    v128.store(target + at, sum0);
    v128.store(target + at, sum1, 16);
    v128.store(target + at, sum2, 32);
    v128.store(target + at, sum3, 48);
  }
  for (; column < to; column += 2) {
    const at = <usize>column << 3;
    let w = weights;
    let s = sources;
    let sum = f64x2.splat(0);
    let k = 0;
    for (; k + 3 < count; k += 4) {
      const i = <usize>load<u32>(s) + at;
      const j = <usize>load<u32>(s, 4) + at;
      const l = <usize>load<u32>(s, 8) + at;
      const m = <usize>load<u32>(s, 12) + at;
      sum = f64x2.add(
        sum,
        four(
          v128.load64_splat(w),
          v128.load64_splat(w, 8),
          v128.load64_splat(w, 16),
          v128.load64_splat(w, 24),
          v128.load(i),
          v128.load(j),
          v128.load(l),
          v128.load(m),
        ),
      );
      w += 32;
      s += 16;
    }
    for (; k < count; k++) {
      sum = f64x2.add(sum, f64x2.mul(v128.load64_splat(w), v128.load(<usize>load<u32>(s) + at)));
      w += 8;
      s += 4;
    }
    if (column + 1 < to) v128.store(target + at, sum);
    else v128.store64_lane(target + at, sum, 0);
  }
}
