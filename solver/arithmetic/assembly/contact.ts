// AssemblyScript, not TypeScript: compiled to WebAssembly by `npm run build:kernel`. Pointers are byte addresses.
// Every sum is taken in the order of contact-modes.ts, so that the results are the same to the bit.

/**
 * See ScalarContactModes in contact-modes.ts.
 *
 * @param modes a multiple of eight
 */
export function updateContactModes(
  shapes: usize,
  forces: usize,
  predicted: usize,
  follows: usize,
  modalForces: usize,
  coordinates: usize,
  deflections: usize,
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
  let shape = shapes;
  for (let wheel = 0; wheel < wheels; wheel++) {
    let first = f64x2.splat(0);
    let second = f64x2.splat(0);
    for (let at: usize = 0; at < bytes; at += 32) {
      first = f64x2.add(first, f64x2.mul(v128.load(shape + at), v128.load(coordinates + at)));
      second = f64x2.add(second, f64x2.mul(v128.load(shape + at, 16), v128.load(coordinates + at, 16)));
    }
    const sums = f64x2.add(first, second);
    store<f64>(
      deflections + (<usize>wheel << 3),
      f64x2.extract_lane(sums, 0) + f64x2.extract_lane(sums, 1),
    );
    shape += bytes;
  }
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
