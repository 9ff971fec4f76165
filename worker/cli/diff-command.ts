import { compareContracts } from '../regression/compare-contracts.js';
import { contractFieldsOf } from '../regression/contract-fields.js';
import { countText } from '../regression/movement-text.js';
import { readResultFile } from '../regression/read-result-file.js';
import { ResultsChangedError } from './command-errors.js';
import { movementTable } from './movement-table.js';
import { type Terminal, writeOut } from './terminal.js';

export interface DiffOptions {
  /** Print the movements as JSON on standard output. */
  readonly json: boolean;
}

/**
 * `deckpace diff A B`: compares two result files as the regression does.
 *
 * @throws ResultsChangedError when a value changed by more than its tolerance
 * @throws NotAResultError
 */
export async function diffCommand(
  before: string,
  now: string,
  { json }: DiffOptions,
  { stdout }: Terminal,
): Promise<void> {
  const [first, second] = await Promise.all([readResultFile(before), readResultFile(now)]);
  const movements = compareContracts(contractFieldsOf(first, null), contractFieldsOf(second, null), {
    sweptSpeeds: 'common',
  });
  if (json) await writeOut(stdout, `${JSON.stringify(movements, null, 2)}\n`);
  else {
    const table = movements.length > 0 ? `${movementTable(movements, stdout)}\n` : '';
    await writeOut(stdout, `${table}${countText(movements)}\n`);
  }
  if (movements.some(({ verdict }) => verdict === 'change'))
    throw new ResultsChangedError(`${before} and ${now} differ: ${countText(movements)}`);
}
