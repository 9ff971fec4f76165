import type { Modes } from './eigen.js';
import type { ForceBreaks } from './force-breaks.js';
import { type InfluenceLine, settleJumps, withoutIdleJumps } from './influence-jumps.js';
import { trimmed } from './line-samples.js';
import { isAcceleration, type ResponseRow } from './response-rows.js';

/**
 * By how much the slope of the modes' part of each row changes, per metre, as a unit load crosses each break of the line: of accelerations
 * q'', which follow the force on the mode, of other rows the statics p / w^2. Rows x breaks.
 *
 * @param modalValues rows x modes
 */
export function breakKinks(
  rows: readonly ResponseRow[],
  modalValues: Float64Array,
  modes: Modes,
  { slopes, positions }: ForceBreaks,
): Float64Array {
  const breaks = positions.length;
  const count = modes.shapes.length;
  const kinks = new Float64Array(rows.length * breaks);
  rows.forEach(({ quantity }, row) => {
    const acceleration = isAcceleration(quantity);
    for (let j = 0; j < count; j++) {
      const factor = modalValues[row * count + j]! / (acceleration ? 1 : modes.angularFrequencies[j]! ** 2);
      for (let index = 0; index < breaks; index++)
        kinks[row * breaks + index]! += factor * slopes[j * breaks + index]!;
    }
  });
  return kinks;
}

/**
 * The lines with the kinks that the modes have at their jumps, which no interpolation of the modes between samples would follow. Used where
 * forces do not jump.
 *
 * @param kinks see breakKinks
 */
export function kinkedLines(
  influenceLines: readonly (InfluenceLine | null)[],
  kinks: Float64Array,
  breaks: ForceBreaks,
  step: number,
): readonly (InfluenceLine | null)[] {
  return influenceLines.map((line, row) => {
    if (!line || line.jumps.length === 0) return line;
    const jumps = line.jumps.map((jump) => {
      const index = breakAt(breaks, jump.at * step);
      return index < 0 ? jump : { ...jump, kink: kinks[row * breaks.positions.length + index]! };
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
  return influenceLines.map((line, row) => {
    if (!line) return null;
    residual.fill(0);
    residual.set(line.values, line.first);
    const jumps = line.jumps.map((jump) => ({ ...jump }));
    for (let j = 0; j < count; j++) {
      const modeLine = modeLines[j]!;
      const factor = modalValues[row * count + j]! / modes.angularFrequencies[j]! ** 2;
      for (let k = 0; k < residual.length; k++) residual[k]! -= factor * modeLine[k]!;
      for (const jump of jumps) {
        const [before, beyond] = modeBeside(modeLine, j, jump.at, breaks, step);
        jump.before -= factor * before;
        jump.beyond -= factor * beyond;
      }
    }
    settleJumps(residual, jumps);
    return withoutIdleJumps({ ...trimmed(residual), jumps });
  });
}

/** Deflection under the wheels in a mode on both sides of a place, in samples. */
function modeBeside(
  modeLine: Float64Array,
  mode: number,
  at: number,
  breaks: ForceBreaks,
  step: number,
): [before: number, beyond: number] {
  const { positions, before, jumps } = breaks;
  const index = breakAt(breaks, at * step);
  if (index >= 0) {
    const value = before[mode * positions.length + index]!;
    return [value, value + jumps[mode * positions.length + index]!];
  }
  const k = Math.floor(at);
  const here = modeLine[k]!;
  const value = here + ((modeLine[k + 1] ?? here) - here) * (at - k);
  return [value, value];
}

function breakAt({ positions }: ForceBreaks, place: number): number {
  return positions.findIndex((position) => Math.abs(position - place) < 1e-6);
}
