// AssemblyScript, not TypeScript: compiled to WebAssembly by `npm run build:kernel`. Two columns or two modes per instruction; every sum is
// taken in the order of scalar-arithmetic.ts, so that the results are the same to the bit. Pointers are byte addresses.

/** Columns that a block shows of each mode, new ones among them, and force samples per mode; as in block-size.ts. */
const width: usize = 70;
const steps: i32 = 64;
const samples: i32 = 67;

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

// @ts-ignore: decorator
@inline
function four(
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

/**
 * One block of two modes whose numbers follow each other.
 *
 * @param coefficients 12 of the first, 12 of the second
 * @param state g and u of the first, of the second
 * @param twoZeta of the first, of the second
 * @param forces samples of both, in turn
 * @param added 0, or what is added to g of the first, to u of the first, to g and to u of the second, a number a step
 */
export function advance(
  coefficients: usize,
  state: usize,
  twoZeta: usize,
  forces: usize,
  added: usize,
  departed: f64,
  departure: usize,
  acceleration: usize,
): void {
  const row = width << 3;
  const seam = (<i32>width - steps) << 3;
  memory.copy(departure, departure + (<usize>steps << 3), seam);
  memory.copy(departure + row, departure + row + (<usize>steps << 3), seam);
  memory.copy(acceleration, acceleration + (<usize>steps << 3), seam);
  memory.copy(acceleration + row, acceleration + row + (<usize>steps << 3), seam);
  const a0 = both(coefficients, 96);
  const a1 = both(coefficients + 8, 96);
  const a2 = both(coefficients + 16, 96);
  const a3 = both(coefficients + 24, 96);
  const a4 = both(coefficients + 32, 96);
  const a5 = both(coefficients + 40, 96);
  const b0 = both(coefficients + 48, 96);
  const b1 = both(coefficients + 56, 96);
  const b2 = both(coefficients + 64, 96);
  const b3 = both(coefficients + 72, 96);
  const b4 = both(coefficients + 80, 96);
  const b5 = both(coefficients + 88, 96);
  const damping = v128.load(twoZeta);
  const taken = f64x2.splat(departed);
  let g = both(state, 16);
  let u = both(state + 8, 16);
  let p0 = v128.load(forces);
  let p1 = v128.load(forces, 16);
  let p2 = v128.load(forces, 32);
  let at: usize = 0;
  let first = departure + <usize>seam;
  let second = acceleration + <usize>seam;
  for (let pair = 0; pair < steps; pair += 2) {
    let p3 = v128.load(forces, 48);
    let next = step(a0, a1, a2, a3, a4, a5, g, u, p0, p1, p2, p3);
    u = step(b0, b1, b2, b3, b4, b5, g, u, p0, p1, p2, p3);
    g = next;
    if (added !== 0) {
      g = f64x2.add(g, both(added + at, 2 * steps * 8));
      u = f64x2.add(u, both(added + at + steps * 8, 2 * steps * 8));
    }
    const earlierAcceleration = accelerationOf(p2, g, u, damping);
    const earlierAway = departureOf(g, p2, taken);
    p0 = p1;
    p1 = p2;
    p2 = p3;
    p3 = v128.load(forces, 64);
    forces += 32;
    next = step(a0, a1, a2, a3, a4, a5, g, u, p0, p1, p2, p3);
    u = step(b0, b1, b2, b3, b4, b5, g, u, p0, p1, p2, p3);
    g = next;
    if (added !== 0) {
      g = f64x2.add(g, both(added + at + 8, 2 * steps * 8));
      u = f64x2.add(u, both(added + at + 8 + steps * 8, 2 * steps * 8));
    }
    const laterAcceleration = accelerationOf(p2, g, u, damping);
    const laterAway = departureOf(g, p2, taken);
    p0 = p1;
    p1 = p2;
    p2 = p3;
    v128.store(first + at, v128.shuffle<f64>(earlierAway, laterAway, 0, 2));
    v128.store(first + row + at, v128.shuffle<f64>(earlierAway, laterAway, 1, 3));
    v128.store(second + at, v128.shuffle<f64>(earlierAcceleration, laterAcceleration, 0, 2));
    v128.store(second + row + at, v128.shuffle<f64>(earlierAcceleration, laterAcceleration, 1, 3));
    at += 16;
  }
  store<f64>(state, f64x2.extract_lane(g, 0));
  store<f64>(state, f64x2.extract_lane(u, 0), 8);
  store<f64>(state, f64x2.extract_lane(g, 1), 16);
  store<f64>(state, f64x2.extract_lane(u, 1), 24);
}

// @ts-ignore: decorator
@inline
function accelerationOf(force: v128, g: v128, u: v128, twoZeta: v128): v128 {
  return f64x2.sub(f64x2.sub(force, g), f64x2.mul(twoZeta, u));
}

// @ts-ignore: decorator
@inline
function departureOf(g: v128, force: v128, departed: v128): v128 {
  return f64x2.sub(g, f64x2.mul(departed, force));
}

// @ts-ignore: decorator
@inline
function both(address: usize, apart: usize): v128 {
  return f64x2.replace_lane(v128.load64_splat(address), 1, load<f64>(address + apart));
}

// @ts-ignore: decorator
@inline
function step(
  c0: v128,
  c1: v128,
  c2: v128,
  c3: v128,
  c4: v128,
  c5: v128,
  g: v128,
  u: v128,
  p0: v128,
  p1: v128,
  p2: v128,
  p3: v128,
): v128 {
  return f64x2.add(
    f64x2.add(f64x2.mul(c0, g), f64x2.mul(c1, u)),
    f64x2.add(
      f64x2.add(f64x2.mul(c2, p0), f64x2.mul(c3, p1)),
      f64x2.add(f64x2.mul(c4, p2), f64x2.mul(c5, p3)),
    ),
  );
}

/**
 * Forces on two modes at every sample of a block.
 *
 * @param table of the two modes, in turn
 * @param indices place in the table of the first of the four values that each sample lies between
 * @param weights of the four
 * @param forces samples of both modes, in turn
 */
export function sampleForces(table: usize, indices: usize, weights: usize, forces: usize): void {
  for (let sample = 0; sample < samples; sample++) {
    const at = table + (<usize>load<u32>(indices) << 4);
    const sum = f64x2.add(
      f64x2.add(
        f64x2.add(
          f64x2.mul(v128.load64_splat(weights), v128.load(at)),
          f64x2.mul(v128.load64_splat(weights, 8), v128.load(at, 16)),
        ),
        f64x2.mul(v128.load64_splat(weights, 16), v128.load(at, 32)),
      ),
      f64x2.mul(v128.load64_splat(weights, 24), v128.load(at, 48)),
    );
    v128.store(forces, sum);
    indices += 4;
    weights += 32;
    forces += 16;
  }
}

/** Largest size and largest second difference of each of `count` histories of `width` columns; `bends` follow `sizes`. */
export function bound(histories: usize, count: i32, sizes: usize, bends: usize): void {
  const two = f64x2.splat(2);
  for (let history = 0; history < count; history++) {
    let at = histories + ((<usize>history * width) << 3);
    let size = f64x2.abs(v128.load(at));
    let bend = f64x2.splat(0);
    for (let pair = 2; pair < <i32>width; pair += 2) {
      const before = v128.load(at);
      const here = v128.load(at, 8);
      const after = v128.load(at, 16);
      size = f64x2.pmax(size, f64x2.abs(after));
      bend = f64x2.pmax(bend, f64x2.abs(f64x2.add(f64x2.sub(before, f64x2.mul(two, here)), after)));
      at += 16;
    }
    const place = <usize>history << 3;
    store<f64>(sizes + place, max(f64x2.extract_lane(size, 0), f64x2.extract_lane(size, 1)));
    store<f64>(bends + place, max(f64x2.extract_lane(bend, 0), f64x2.extract_lane(bend, 1)));
  }
}

/**
 * The first column from `from` to `to` that is a local maximum or minimum of a history and may rise to a crest above `upper` or below
 * `lower`, `margin` of the crest allowed for; `to` + 1 or more where there is none. See scalar-arithmetic.ts.
 */
export function nextCrest(
  history: usize,
  from: i32,
  to: i32,
  upper: f64,
  lower: f64,
  margin: f64,
  share: f64,
): i32 {
  const two = f64x2.splat(2);
  const up = f64x2.splat(upper);
  const low = f64x2.splat(lower);
  const wide = f64x2.splat(margin);
  const part = f64x2.splat(share);
  let at = history + (<usize>from << 3);
  for (let column = from; column <= to; column += 2) {
    const before = v128.load(at - 8);
    const here = v128.load(at);
    const after = v128.load(at, 8);
    const curvature = f64x2.sub(f64x2.sub(f64x2.mul(two, here), before), after);
    const crest = f64x2.add(here, f64x2.mul(part, curvature));
    const beside = f64x2.mul(wide, f64x2.abs(crest));
    const high = v128.and(
      v128.and(f64x2.ge(here, before), f64x2.ge(here, after)),
      f64x2.gt(f64x2.add(crest, beside), up),
    );
    const deep = v128.and(
      v128.and(f64x2.le(here, before), f64x2.le(here, after)),
      f64x2.lt(f64x2.sub(crest, beside), low),
    );
    const found = v128.or(high, deep);
    if (v128.any_true(found)) return i64x2.extract_lane(found, 0) !== 0 ? column : column + 1;
    at += 16;
  }
  return to + 1;
}

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
  return f64x2.splat(f64x2.extract_lane(sums, 0) + f64x2.extract_lane(sums, 1));
}

/** target = sum over the vectors of a basis, each times its weight; four vectors at a time. */
export function combine(target: usize, basis: usize, weights: usize, count: i32, stride: i32): void {
  const bytes = <usize>stride << 3;
  memory.fill(target, 0, bytes);
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
    for (let at: usize = 0; at < bytes; at += 16) {
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
    for (let at: usize = 0; at < bytes; at += 16)
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

/** Sum of products, in four partial sums; `stride` numbers, a multiple of four. */
function dot(a: usize, b: usize, stride: i32): f64 {
  const bytes = <usize>stride << 3;
  let first = f64x2.splat(0);
  let second = f64x2.splat(0);
  for (let at: usize = 0; at < bytes; at += 32) {
    first = f64x2.add(first, f64x2.mul(v128.load(a + at), v128.load(b + at)));
    second = f64x2.add(second, f64x2.mul(v128.load(a + at, 16), v128.load(b + at, 16)));
  }
  const sums = f64x2.add(first, second);
  return f64x2.extract_lane(sums, 0) + f64x2.extract_lane(sums, 1);
}

/** vector *= factor. */
export function scale(vector: usize, stride: i32, factor: f64): void {
  const by = f64x2.splat(factor);
  const end = vector + (<usize>stride << 3);
  for (; vector < end; vector += 16) v128.store(vector, f64x2.mul(by, v128.load(vector)));
}
