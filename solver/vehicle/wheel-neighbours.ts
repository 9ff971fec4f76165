import type { Consist } from './consist.js';
import { residualBetween } from './line-under-wheel.js';
import type { RunningLine } from './running-line.js';
import { type WheelPair, wheelPairs } from './wheel-pairs.js';

/** How far each wheel sinks where those near it press, beyond what the modes show. */
export class WheelNeighbours {
  private readonly line: RunningLine;
  private readonly pairs: readonly WheelPair[];
  /** m/N of each pair. */
  private readonly compliance: Float64Array;
  /** Of each wheel, from `first[wheel]` to `first[wheel + 1]`: the pairs that it is in, and the other wheel of each. */
  private readonly first: Int32Array;
  private readonly pairOf: Int32Array;
  private readonly other: Int32Array;

  /** On the ground. */
  constructor(line: RunningLine, consist: Consist) {
    this.line = line;
    this.pairs = line.between.length > 0 ? wheelPairs(consist).pairs : [];
    this.compliance = Float64Array.from(this.pairs, ({ apart }) => line.between[apart]!.ground);
    const own = consist.wheels.map((_, wheel) =>
      this.pairs.flatMap(({ leading, trailing }, pair) => {
        if (leading !== wheel && trailing !== wheel) return [];
        return [{ pair, other: leading === wheel ? trailing : leading }];
      }),
    );
    this.first = new Int32Array(own.length + 1);
    own.forEach((list, wheel) => {
      this.first[wheel + 1] = this.first[wheel]! + list.length;
    });
    this.pairOf = Int32Array.from(own.flat(), ({ pair }) => pair);
    this.other = Int32Array.from(own.flat(), ({ other }) => other);
  }

  /** @param positions sample number of each wheel */
  place(positions: Float64Array): void {
    for (let pair = 0; pair < this.pairs.length; pair++) {
      const { leading, apart } = this.pairs[pair]!;
      this.compliance[pair] = residualBetween(this.line, apart, positions[leading]!);
    }
  }

  /** m, of one wheel under the forces of the others. */
  sinkingUnder(forces: Float64Array, wheel: number): number {
    const { first, pairOf, other, compliance } = this;
    let sum = 0;
    for (let k = first[wheel]!; k < first[wheel + 1]!; k++)
      sum += compliance[pairOf[k]!]! * forces[other[k]!]!;
    return sum;
  }
}
