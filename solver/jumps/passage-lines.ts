import { subtractModes } from '../arithmetic/mode-subtraction.js';
import { trimmed, writeWhole } from '../lines/line-samples.js';
import type { Modes } from '../modes/eigen.js';
import type { ForceBreaks } from './force-breaks.js';
import { type InfluenceLine, settleJumps, withoutIdleJumps } from './influence-jumps.js';
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

/** Lines that share what it takes to fetch the modes; each needs room for all samples meanwhile. */
const linesAtOnce = 64;

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
  const squares = modes.angularFrequencies.map((frequency) => frequency ** 2);
  const lines: (InfluenceLine | null)[] = influenceLines.map(() => null);
  const rows = Array.from(influenceLines.keys()).filter((row) => influenceLines[row]);
  const rooms: Float64Array[] = [];
  for (let start = 0; start < rows.length; start += linesAtOnce) {
    const group = rows.slice(start, start + linesAtOnce);
    const factors = new Float64Array(group.length * count);
    const residuals = group.map((row, i) => {
      for (let j = 0; j < count; j++) factors[i * count + j] = modalValues[row * count + j]! / squares[j]!;
      rooms[i] ??= new Float64Array(modeLines[0]?.length ?? 0);
      return writeWhole(influenceLines[row]!, rooms[i]);
    });
    subtractModes(residuals, modeLines, factors);
    group.forEach((row, i) => {
      const residual = residuals[i]!;
      const own = factors.subarray(i * count, (i + 1) * count);
      const jumps = influenceLines[row]!.jumps.map((jump) => ({ ...jump }));
      for (const jump of jumps)
        subtractModesBeside(jump, modeLines, own, breaks, breakAt(breaks, jump.at * step));
      settleJumps(residual, jumps);
      lines[row] = withoutIdleJumps({ ...trimmed(residual), jumps });
    });
  }
  return lines;
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
