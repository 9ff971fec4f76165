import { findJumps } from '../jumps/find-jumps.js';
import { type InfluenceLine, settleJumps } from '../jumps/influence-jumps.js';
import { trimmed } from '../lines/line-samples.js';
import { type LoadedLine, type MovedFreedoms, sampleMoved } from '../lines/loaded-line.js';
import type { BandedFactorisation } from '../matrices/banded-factorisation.js';
import { withinSimpleSpan } from '../mesh/beam-element.js';
import type { ResponseRow } from '../rows/response-rows.js';

/** Share of its peak below which the line under a row's vector is not solved on: well below what `trimmed` leaves out. */
const negligible = 1e-11;

/** Finds static influence lines on one loaded line, one after the other in the same memory. */
export class InfluenceLines {
  private readonly displacement: Float64Array;
  private readonly samples: Float64Array;

  constructor(
    private readonly factorisation: BandedFactorisation,
    private readonly line: LoadedLine,
  ) {
    this.displacement = new Float64Array(factorisation.size);
    this.samples = new Float64Array(line.count);
  }

  /**
   * Static influence line of a response: its value for a unit load at each sample of the loaded line. By Maxwell's theorem it
   * is the deflection of the loaded line under the row's own vector, plus the row's direct part.
   *
   * Shears and reactions jump as a load passes a deck end or the section. Every place where the line may jump is listed, also where both
   * sides turn out the same.
   */
  of(row: Pick<ResponseRow, 'freedoms' | 'stiffness' | 'direct'>): InfluenceLine {
    const { factorisation, line, displacement, samples } = this;
    samples.fill(0);
    const moved = deflectionUnder(row, factorisation, displacement);
    sampleMoved(line, displacement, moved, samples);
    addDirectParts(row, line, samples);
    const jumps = findJumps(row, displacement, line);
    settleJumps(samples, jumps);
    displacement.fill(0, moved.first, moved.last + 1);
    return { ...trimmed(samples), jumps };
  }
}

/** Adds to `displacement`, all zeros, what the row's own vector as a load does. */
function deflectionUnder(
  row: Pick<ResponseRow, 'freedoms' | 'stiffness'>,
  factorisation: BandedFactorisation,
  displacement: Float64Array,
): MovedFreedoms {
  let first = factorisation.size - 1;
  let last = 0;
  for (let k = 0; k < row.freedoms.length; k++) {
    const freedom = row.freedoms[k]!;
    displacement[freedom]! += row.stiffness[k]!;
    first = Math.min(first, freedom);
    last = Math.max(last, freedom);
  }
  return factorisation.solveLocally(displacement, first, last, negligible);
}

/** What a load on an element itself does through its consistent nodal forces. */
function addDirectParts(
  { direct }: Pick<ResponseRow, 'direct'>,
  line: LoadedLine,
  samples: Float64Array,
): void {
  for (const { element, rail, shape, factor, at = 0 } of direct) {
    if (rail === undefined ? line.deck.length === 0 : rail !== line.track) continue;
    const under = rail === undefined ? line.deckElement : line.railElement;
    if (shape === 'bubble') {
      // A wheel twists a deck by its eccentricity, and bends a rail.
      const beam = rail === undefined ? line.deck[element]! : line.rail[element]!;
      const load = rail === undefined ? factor * line.eccentricity : factor;
      for (let k = 0; k < line.count; k++) {
        if (under[k] !== element) continue;
        const along = Math.min(Math.max(line.from + k * line.step - beam.x, 0), beam.length);
        samples[k]! += load * withinSimpleSpan(beam.length, at, along);
      }
      continue;
    }
    if (shape >= line.shapes) continue;
    for (let k = 0; k < line.count; k++) {
      if (under[k] === element) samples[k]! += factor * line.weights[line.shapes * k + shape]!;
    }
  }
}
