import type { Modes } from './eigen.js';
import type { ForceBreaks } from './force-breaks.js';

/**
 * Influence lines less what the modes contribute to them: rows then follow as residual plus modal coordinates times their values
 * (residual flexibility; R. R. Craig, Structural Dynamics, 1981, section 15.5), the same sum as statics plus departures of
 * the modes. Used where forces jump: statics and departures jump by parts that must cancel at the same instant, modal
 * coordinates do not jump at all.
 *
 * @param modalValues rows x modes
 */
export function residualLines(
  influenceLines: readonly (Float64Array | null)[],
  modeLines: readonly Float64Array[],
  modalValues: Float64Array,
  modes: Modes,
): readonly (Float64Array | null)[] {
  const count = modeLines.length;
  return influenceLines.map((samples, row) => {
    if (!samples) return null;
    const residual = Float64Array.from(samples);
    const last = samples.length - 1;
    for (let j = 0; j < count; j++) {
      const line = modeLines[j]!;
      const factor = modalValues[row * count + j]! / modes.angularFrequencies[j]! ** 2;
      for (let k = 0; k <= last; k++) residual[k]! -= factor * line[k]!;
      // Just off the deck an influence line may hold its value at the deck's end; the mode has to do the same there.
      if (samples[0] !== 0) residual[0]! -= factor * (line[1]! - line[0]!);
      if (samples[last] !== 0) residual[last]! -= factor * (line[last - 1]! - line[last]!);
    }
    return residual;
  });
}

export function hasJumps(breaks: ForceBreaks | null): boolean {
  return breaks?.jumps.some((jump) => jump !== 0) === true;
}
