import { readFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { type Fault, fault } from '../../scenarios/fault.js';
import { member, textIn } from '../../scenarios/faults/cross/lenient.js';
import { UnreadableFileError } from './command-errors.js';

const pointer = ['track_irregularity', 'profile_csv'] as const;

/** A scenario document with its rail profile read from beside it, or the fault that the file has. */
export type WithProfile =
  | { readonly ok: true; readonly document: unknown }
  | { readonly ok: false; readonly faults: readonly Fault[] };

/** The file that a scenario document names for its rail profile; null where it names none. */
export function profileCsvOf(document: unknown): string | null {
  return textIn(member(document, 'track_irregularity'), 'profile_csv');
}

/**
 * Puts the samples of a CSV file in the place of its name, so that hash, report and service see what was computed with. Two columns,
 * x from the first support in m and level in mm, downwards positive, with comma, semicolon or tab between them, a heading or
 * none, in equal steps.
 *
 * @throws UnreadableFileError when there is no such file
 */
export async function withProfileOf(
  document: unknown,
  name: string,
  scenarioFile: string,
): Promise<WithProfile> {
  const file = join(dirname(scenarioFile), name);
  let text: string;
  try {
    text = await readFile(file, 'utf8');
  } catch (error) {
    throw new UnreadableFileError(
      `there is no readable file ${file}, which ${scenarioFile} names at /${pointer.join('/')}`,
      { cause: error },
    );
  }
  const rows = text
    .split(/\r?\n/)
    .map((line) => line.trim())
    .map((line, index) => ({ number: index + 1, cells: line === '' ? [] : line.split(/[;,\t]/) }))
    .filter(({ cells }) => cells.length > 0);
  const values = rows.map(({ number, cells }) => ({
    number,
    cells: cells.map((cell) => Number(cell.trim() || 'x')),
  }));
  const heading = values.length > 0 && values[0]!.cells.some(Number.isNaN) ? 1 : 0;
  const points = values.slice(heading);
  const wrong = points.find(({ cells }) => cells.length !== 2 || !cells.every(Number.isFinite));
  if (wrong) {
    return refused(
      `line ${wrong.number} of ${name}`,
      'two numbers with decimal points in each line: x in m and level in mm, downwards positive',
    );
  }
  if (points.length < 8) return refused(`${points.length} points in ${name}`, 'at least 8 points');
  const from = points[0]!.cells[0]!;
  const step = (points[points.length - 1]!.cells[0]! - from) / (points.length - 1);
  const uneven = points.find(({ cells }, k) => !(Math.abs(cells[0]! - from - k * step) <= 0.02 * step));
  if (uneven) {
    return refused(
      `x = ${uneven.cells[0]} m in line ${uneven.number} of ${name}`,
      `x ascending in equal steps (${Number(step.toPrecision(4))} m on the mean), each within 2 % of a step`,
    );
  }
  const profile = {
    from_m: from,
    step_m: Number(step.toPrecision(9)),
    level_mm: points.map(({ cells }) => cells[1]!),
  };
  return { ok: true, document: Object.assign({}, document, { track_irregularity: { profile } }) };
}

function refused(found: string, accepted: string): WithProfile {
  return { ok: false, faults: [fault([...pointer], 'not-accepted', { found, accepted })] };
}
