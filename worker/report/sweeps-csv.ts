import { stringify } from 'csv-stringify/sync';
import type { Result } from '../../scenarios/result.js';
import { requireFiniteNumbers } from './finite-numbers.js';

/**
 * The sweeps of a result as RFC 4180 CSV with a header: one row per damage case, train and speed, one column per swept
 * quantity with the unit in its name. A quantity that a train does not have stays empty. Text that a spreadsheet would
 * take for a formula is led by an apostrophe; numbers are written as they are.
 *
 * @throws NonFiniteNumberError where a number is NaN or infinite.
 */
export function renderSweepsCsv(result: Result): string {
  requireFiniteNumbers(result);
  const quantities = [
    ...new Set(result.cases.flatMap((one) => one.trains.flatMap((train) => Object.keys(train.sweep)))),
  ]
    .filter((key) => key !== 'speed_kmh')
    .sort();
  const rows: (string | number | null)[][] = [['damage_case', 'train', 'class', 'speed_kmh', ...quantities]];
  for (const damageCase of result.cases) {
    for (const train of damageCase.trains) {
      for (const [index, speed] of train.sweep.speed_kmh.entries()) {
        const values = quantities.map((key) => train.sweep[key]?.[index] ?? null);
        rows.push([damageCase.damage_case, train.train, train.class, speed, ...values]);
      }
    }
  }
  return stringify(rows, { record_delimiter: 'windows', escape_formulas: true });
}
