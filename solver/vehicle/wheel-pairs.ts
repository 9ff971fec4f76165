import type { Consist } from './consist.js';

/** m: about the longest wheelbase of a bogie; a unit load on rail and slab is felt there by some per cent of what it does below itself. */
const reach = 5;

/** Two wheels of a train that stand near enough for one to sink where the other presses; indices of the consist. */
export interface WheelPair {
  readonly leading: number;
  readonly trailing: number;
  /** Index of their distance. */
  readonly apart: number;
}

/** Every two wheels near each other, of one vehicle or of two, and the distances that occur, m. */
export function wheelPairs({ wheels }: Consist): {
  readonly distances: readonly number[];
  readonly pairs: readonly WheelPair[];
} {
  const distances: number[] = [];
  const pairs: WheelPair[] = [];
  wheels.forEach(({ position }, leading) => {
    for (let trailing = leading + 1; trailing < wheels.length; trailing++) {
      const distance = wheels[trailing]!.position - position;
      if (distance > reach + 1e-9) break;
      let apart = distances.findIndex((known) => Math.abs(known - distance) < 1e-6);
      if (apart < 0) apart = distances.push(distance) - 1;
      pairs.push({ leading, trailing, apart });
    }
  });
  return { distances, pairs };
}
