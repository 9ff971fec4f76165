import { InfluenceLines } from '../dynamic-model/influence-lines.js';
import type { HeldRail } from '../held-track/held-track.js';
import type { LineSamples } from '../lines/line-samples.js';
import { alongLine, type LoadedLine } from '../lines/loaded-line.js';
import type { MovingTrain, StaticLoadModel } from '../viaduct/model.js';
import { worstStaticEffect } from './static-load-model.js';

/** Influence lines of the rail's deflection at places along it, the deck held where it is. */
export interface RailInfluence {
  readonly line: LoadedLine;
  /** Sample of the line that each belongs to, ascending. */
  readonly samples: Int32Array;
  /** m per N on the rail. */
  readonly influence: readonly LineSamples[];
}

/**
 * Of a held rail at every sample of some stretches: the deflection at a place is a row as others are, the shape functions there.
 *
 * @param stretches in x along the deck
 */
export function railInfluence(
  { line, held }: HeldRail,
  stretches: readonly { readonly from: number; readonly to: number }[],
): RailInfluence {
  const samples = Int32Array.from({ length: line.count }, (_, sample) => sample).filter((sample) => {
    const x = line.from + sample * line.step;
    return stretches.some(({ from, to }) => x > from - line.step && x < to + line.step);
  });
  const deflectionAt = (sample: number) => {
    const [from, to] = [line.shapes * sample, line.shapes * (sample + 1)];
    const freedoms = Array.from(line.freedoms.subarray(from, to));
    return { freedoms, stiffness: Array.from(line.weights.subarray(from, to)), direct: [] };
  };
  const lines = new InfluenceLines(held, line);
  const influence = Array.from(samples, (sample) => lines.of(deflectionAt(sample)));
  return { line, samples, influence };
}

/**
 * How far the rail sinks under the wheels of a train that stands with one axle at x, the worst of its axles in either direction; m,
 * downwards. Linear between the samples.
 */
export function sunkUnderTrain(rail: RailInfluence, train: MovingTrain): (x: number) => number {
  const { step } = rail.line;
  const { positions, loads } = train;
  return overSamples(rail, (values, first, sample) => {
    let worst = 0;
    for (const way of [1, -1]) {
      // Axles this far behind the one at x, up to as far before it, are felt there; both ends move on with that axle.
      const own = sample - first;
      const behind = step * (way === 1 ? own : values.length - 1 - own);
      const before = step * (way === 1 ? values.length - 1 - own : own);
      let from = 0;
      let to = 0;
      for (let axle = 0; axle < positions.length; axle++) {
        while (positions[from]! < positions[axle]! - behind) from++;
        while (to < positions.length && positions[to]! <= positions[axle]! + before) to++;
        let sum = 0;
        for (let other = from; other < to; other++) {
          const place = own + (way * (positions[other]! - positions[axle]!)) / step;
          const index = Math.max(0, Math.floor(place));
          const here = values[index]!;
          sum += loads[other]! * (here + ((values[index + 1] ?? 0) - here) * (place - index));
        }
        worst = Math.max(worst, sum);
      }
    }
    return worst;
  });
}

/** The same of a static load model placed wherever it is worst, without its dynamic factor. */
export function sunkUnderLoadModel(rail: RailInfluence, load: StaticLoadModel): (x: number) => number {
  return overSamples(rail, (values) => worstStaticEffect(load, values, rail.line.step));
}

function overSamples(
  { line, samples, influence }: RailInfluence,
  sunk: (values: Float64Array, first: number, sample: number) => number,
): (x: number) => number {
  const all = new Float64Array(line.count);
  samples.forEach((sample, index) => {
    const { first, values } = influence[index]!;
    all[sample] = sunk(values, first, sample);
  });
  return alongLine(line, all);
}
