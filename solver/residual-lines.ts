import type { Modes } from './eigen.js';
import type { ForceBreaks } from './force-breaks.js';
import { type LineSamples, trimmed } from './line-samples.js';

/**
 * Influence lines less what the modes contribute to them: rows then follow as residual plus modal coordinates times their values
 * (residual flexibility; R. R. Craig, Structural Dynamics, 1981, section 15.5), the same sum as statics plus departures of
 * the modes. Used where forces jump: statics and departures jump by parts that must cancel at the same instant, modal
 * coordinates do not jump at all.
 *
 * @param modalValues rows x modes
 */
export function residualLines(
  influenceLines: readonly (LineSamples | null)[],
  modeLines: readonly Float64Array[],
  modalValues: Float64Array,
  modes: Modes,
): readonly (LineSamples | null)[] {
  const count = modeLines.length;
  const residual = new Float64Array(modeLines[0]?.length ?? 0);
  const last = residual.length - 1;
  return influenceLines.map((line, row) => {
    if (!line) return null;
    residual.fill(0);
    residual.set(line.values, line.first);
    const [atStart, atEnd] = [residual[0]!, residual[last]!];
    for (let j = 0; j < count; j++) {
      const modeLine = modeLines[j]!;
      const factor = modalValues[row * count + j]! / modes.angularFrequencies[j]! ** 2;
      for (let k = 0; k <= last; k++) residual[k]! -= factor * modeLine[k]!;
      // Just off the deck an influence line may hold its value at the deck's end; the mode has to do the same there.
      if (atStart !== 0) residual[0]! -= factor * (modeLine[1]! - modeLine[0]!);
      if (atEnd !== 0) residual[last]! -= factor * (modeLine[last - 1]! - modeLine[last]!);
    }
    return trimmed(residual);
  });
}

export function hasJumps(breaks: ForceBreaks | null): boolean {
  return breaks?.jumps.some((jump) => jump !== 0) === true;
}
