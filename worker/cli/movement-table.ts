import Table from 'cli-table3';
import type { Movement } from '../regression/compare-contracts.js';
import { mostListed, movementCells, movementColumns, worstFirst } from '../regression/movement-text.js';
import { type OutputStream, widthOf } from './terminal.js';

/** Shares of the width: places and sentences are long, numbers are not. */
const shares = [0.08, 0.26, 0.24, 0.12, 0.12, 0.08, 0.1];

/** What moved, changed decisions first, as a table for the terminal. */
export function movementTable(movements: readonly Movement[], stream: OutputStream): string {
  const { shown, left } = worstFirst(movements, mostListed.terminal);
  const width = widthOf(stream) - shares.length - 1;
  const table = new Table({
    head: ['', ...movementColumns],
    colWidths: shares.map((share) => Math.max(8, Math.floor(share * width))),
    wordWrap: true,
    style: { head: [], border: [] },
  });
  for (const movement of shown) table.push([movement.verdict, ...movementCells(movement)]);
  return left > 0 ? `${table.toString()}\nand ${left} more` : table.toString();
}
