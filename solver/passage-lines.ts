import type { Modes } from './eigen.js';
import type { ForceBreaks } from './force-breaks.js';
import { type InfluenceLine, settleJumps, withoutIdleJumps } from './influence-jumps.js';
import { trimmed } from './line-samples.js';
import { entryOf, type RowBreaks } from './row-breaks.js';

/**
 * The lines with the kinks that the modes have at their jumps, which no interpolation of the modes between samples would follow. Used where
 * forces do not jump.
 *
 * @param rowBreaks of the rows that the lines belong to
 */
export function kinkedLines(
  influenceLines: readonly (InfluenceLine | null)[],
  rowBreaks: RowBreaks,
  breaks: ForceBreaks,
  step: number,
): readonly (InfluenceLine | null)[] {
  return influenceLines.map((line, row) => {
    if (!line || line.jumps.length === 0) return line;
    const jumps = line.jumps.map((jump) => {
      const index = breakAt(breaks, jump.at * step);
      const entry = index < 0 ? -1 : entryOf(rowBreaks, row, index);
      return entry < 0 ? jump : { ...jump, kink: rowBreaks.kinks[entry]! };
    });
    return { ...line, jumps };
  });
}

/**
 * Influence lines less what the modes contribute to them: rows then follow as residual plus modal coordinates times their values
 * (residual flexibility; R. R. Craig, Structural Dynamics, 1981, section 15.5), the same sum as statics plus departures of
 * the modes. Used where forces jump: statics and departures jump by parts that must cancel at the same instant, modal
 * coordinates do not jump at all.
 *
 * @param modalValues rows x modes
 */
export function residualLines(
  influenceLines: readonly (InfluenceLine | null)[],
  modeLines: readonly Float64Array[],
  modalValues: Float64Array,
  modes: Modes,
  breaks: ForceBreaks,
  step: number,
): readonly (InfluenceLine | null)[] {
  const count = modeLines.length;
  const residual = new Float64Array(modeLines[0]?.length ?? 0);
  const factors = new Float64Array(count);
  return influenceLines.map((line, row) => {
    if (!line) return null;
    residual.fill(0);
    residual.set(line.values, line.first);
    for (let j = 0; j < count; j++)
      factors[j] = modalValues[row * count + j]! / modes.angularFrequencies[j]! ** 2;
    subtractModes(residual, modeLines, factors);
    const jumps = line.jumps.map((jump) => ({ ...jump }));
    for (const jump of jumps)
      subtractModesBeside(jump, modeLines, factors, breaks, breakAt(breaks, jump.at * step));
    settleJumps(residual, jumps);
    return withoutIdleJumps({ ...trimmed(residual), jumps });
  });
}

/** residual -= the sum of the lines, each times its factor; four at a time, one after the other as if they were taken singly. */
function subtractModes(residual: Float64Array, lines: readonly Float64Array[], factors: Float64Array): void {
  let j = 0;
  for (; j + 3 < lines.length; j += 4) {
    const [a, b, c, d] = [lines[j]!, lines[j + 1]!, lines[j + 2]!, lines[j + 3]!];
    const [ofA, ofB, ofC, ofD] = [factors[j]!, factors[j + 1]!, factors[j + 2]!, factors[j + 3]!];
    for (let k = 0; k < residual.length; k++)
      residual[k] = residual[k]! - ofA * a[k]! - ofB * b[k]! - ofC * c[k]! - ofD * d[k]!;
  }
  for (; j < lines.length; j++) {
    const line = lines[j]!;
    for (let k = 0; k < residual.length; k++) residual[k]! -= factors[j]! * line[k]!;
  }
}

/**
 * The same on both sides of a jump.
 *
 * @param index of the break that it stands on; -1 where the modes do not break
 */
function subtractModesBeside(
  jump: { readonly at: number; before: number; beyond: number },
  lines: readonly Float64Array[],
  factors: Float64Array,
  { positions, before, jumps }: ForceBreaks,
  index: number,
): void {
  const k = Math.floor(jump.at);
  for (let j = 0; j < lines.length; j++) {
    const here = lines[j]![k]!;
    const place = j * positions.length + index;
    const value = index >= 0 ? before[place]! : here + ((lines[j]![k + 1] ?? here) - here) * (jump.at - k);
    jump.before -= factors[j]! * value;
    jump.beyond -= factors[j]! * (index >= 0 ? value + jumps[place]! : value);
  }
}

function breakAt({ positions }: ForceBreaks, place: number): number {
  return positions.findIndex((position) => Math.abs(position - place) < 1e-6);
}
