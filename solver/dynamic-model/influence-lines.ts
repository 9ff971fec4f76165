import { findJumps } from '../jumps/find-jumps.js';
import { type InfluenceLine, settleJumps } from '../jumps/influence-jumps.js';
import { trimmed } from '../lines/line-samples.js';
import { type LoadedLine, type MovedFreedoms, sampleMoved } from '../lines/loaded-line.js';
import type { BandedFactorisation } from '../matrices/banded-factorisation.js';
import type { BeamElement } from '../mesh/mesh.js';
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
    if (shape === 'bubble') {
      if (rail === undefined)
        addBubble(line, line.deck, line.deckElement, element, at, factor * line.eccentricity, samples);
      else addBubble(line, line.rail, line.railElement, element, at, factor, samples);
      continue;
    }
    if (shape >= line.shapes) continue;
    const under = rail === undefined ? line.deckElement : line.railElement;
    for (let k = 0; k < line.count; k++) {
      if (under[k] === element) samples[k]! += factor * line.weights[line.shapes * k + shape]!;
    }
  }
}

/**
 * min(a, s) (l - max(a, s)) / l at s for what acts at a: a torque inside an element turns what lies between its nodes by more than they tell, by
 * this per unit of 1 / GJ, and a wheel bends a rail between its nodes by this more than its end moments do.
 */
function addBubble(
  { from, step, count }: LoadedLine,
  elements: readonly BeamElement[],
  under: Int32Array,
  element: number,
  at: number,
  factor: number,
  samples: Float64Array,
): void {
  const { x, length } = elements[element]!;
  for (let k = 0; k < count; k++) {
    if (under[k] !== element) continue;
    const along = Math.min(Math.max(from + k * step - x, 0), length);
    samples[k]! += (factor * Math.min(at, along) * (length - Math.max(at, along))) / length;
  }
}
