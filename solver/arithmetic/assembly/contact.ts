// AssemblyScript, not TypeScript: compiled to WebAssembly by `npm run build:kernel`. Pointers are byte addresses.
// Every sum is taken in the order of contact-modes.ts, so that the results are the same to the bit.

import { dot } from './sums';

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
