// AssemblyScript, not TypeScript: compiled to WebAssembly by `npm run build:kernel`. Pointers are byte addresses.
// Two columns or two modes per instruction; every sum is taken in the order of scalar-arithmetic.ts, so that the results are the same to
// the bit.

/** Columns that a block shows of each mode, new ones among them, and force samples per mode; as in block-size.ts. */
const width: usize = 70;
const steps: i32 = 64;
const samples: i32 = 67;

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
