// AssemblyScript, not TypeScript: compiled to WebAssembly by `npm run build:kernel`. Pointers are byte addresses.
// Two columns or two modes per instruction; every sum is taken in the order of scalar-arithmetic.ts, so that the results are the same to
// the bit.

import { four } from './sums';

/** target[i] += a source[i] + b source[i + 1]. */
export function addTwoTaps(target: usize, source: usize, count: i32, a: f64, b: f64): void {
  const before = f64x2.splat(a);
  const after = f64x2.splat(b);
  let left = count;
  for (; left >= 4; left -= 4) {
    const first = f64x2.add(
      f64x2.mul(before, v128.load(source)),
      f64x2.mul(after, v128.load(source, 8)),
    );
    const second = f64x2.add(
      f64x2.mul(before, v128.load(source, 16)),
      f64x2.mul(after, v128.load(source, 24)),
    );
    v128.store(target, f64x2.add(v128.load(target), first));
    v128.store(target, f64x2.add(v128.load(target, 16), second), 16);
    target += 32;
    source += 32;
  }
  for (; left > 0; left--) {
    store<f64>(target, load<f64>(target) + (a * load<f64>(source) + b * load<f64>(source, 8)));
    target += 8;
    source += 8;
  }
}

/** target[i] += a source[i] + b source[i + 1] + (c source[i + 2] + d source[i + 3]). */
export function addFourTaps(
  target: usize,
  source: usize,
  count: i32,
  a: f64,
  b: f64,
  c: f64,
  d: f64,
): void {
  const w0 = f64x2.splat(a);
  const w1 = f64x2.splat(b);
  const w2 = f64x2.splat(c);
  const w3 = f64x2.splat(d);
  let left = count;
  for (; left >= 2; left -= 2) {
    const sum = four(
      w0,
      w1,
      w2,
      w3,
      v128.load(source),
      v128.load(source, 8),
      v128.load(source, 16),
      v128.load(source, 24),
    );
    v128.store(target, f64x2.add(v128.load(target), sum));
    target += 16;
    source += 16;
  }
  if (left > 0)
    store<f64>(
      target,
      load<f64>(target) +
        (a * load<f64>(source) +
          b * load<f64>(source, 8) +
          (c * load<f64>(source, 16) + d * load<f64>(source, 24))),
    );
}
