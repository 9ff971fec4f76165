// AssemblyScript, not TypeScript: compiled to WebAssembly by `npm run build:kernel`. Pointers are byte addresses.
// Parts of the kernel's functions, exported to them alone.

// @ts-ignore: decorator
@inline
export function four(
  a: v128,
  b: v128,
  c: v128,
  d: v128,
  i: v128,
  j: v128,
  l: v128,
  m: v128,
): v128 {
  return f64x2.add(
    f64x2.add(f64x2.mul(a, i), f64x2.mul(b, j)),
    f64x2.add(f64x2.mul(c, l), f64x2.mul(d, m)),
  );
}

// @ts-ignore: decorator
@inline
export function addLanes(sums: v128): f64 {
  return f64x2.extract_lane(sums, 0) + f64x2.extract_lane(sums, 1);
}

/** Sum of products, in four partial sums; `stride` numbers, a multiple of four. */
export function dot(a: usize, b: usize, stride: i32): f64 {
  const bytes = <usize>stride << 3;
  let first = f64x2.splat(0);
  let second = f64x2.splat(0);
  for (let at: usize = 0; at < bytes; at += 32) {
    first = f64x2.add(first, f64x2.mul(v128.load(a + at), v128.load(b + at)));
    second = f64x2.add(second, f64x2.mul(v128.load(a + at, 16), v128.load(b + at, 16)));
  }
  return addLanes(f64x2.add(first, second));
}
