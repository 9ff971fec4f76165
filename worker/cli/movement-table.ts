import Table from 'cli-table3';
import wrapAnsi from 'wrap-ansi';
import type { Movement } from '../regression/compare-contracts.js';
import { mostListed, movementCells, movementColumns, worstFirst } from '../regression/movement-text.js';
import { type OutputStream, widthOf } from './terminal.js';

/** Columns of verdict, relative change and tolerance; the others share what is left. */
const fixed = { verdict: 8, relative: 10, tolerance: 14 };
const shares = [0.36, 0.28, 0.18, 0.18];
const narrowestTable = 110;

/** What moved, changed decisions first, as a table for the terminal, as paragraphs where it is narrow. Neither cuts off a word or a number. */
export function movementTable(movements: readonly Movement[], stream: OutputStream): string {
  const { shown, left } = worstFirst(movements, mostListed.terminal);
  const width = widthOf(stream);
  const text = width < narrowestTable ? paragraphs(shown, width) : table(shown, width);
  return left > 0 ? `${text}\nand ${left} more` : text;
}

function table(movements: readonly Movement[], width: number): string {
  const borders = shares.length + 4;
  const left = width - borders - fixed.verdict - fixed.relative - fixed.tolerance;
  const widths = [
    fixed.verdict,
    ...shares.map((share) => Math.floor(share * left)),
    fixed.relative,
    fixed.tolerance,
  ];
  const view = new Table({
    head: ['', ...movementColumns],
    colWidths: widths,
    style: { head: [], border: [] },
  });
  for (const movement of movements) {
    const cells = [movement.verdict, ...movementCells(movement)];
    view.push(cells.map((cell, column) => wrapAnsi(cell, (widths[column] ?? 3) - 2, { hard: true })));
  }
  return view.toString();
}

function paragraphs(movements: readonly Movement[], width: number): string {
  const indent = '  ';
  return movements
    .map((movement) => {
      const [place, quantity, before, now, relative, tolerance] = movementCells(movement);
      const lines = [
        `before ${before}`,
        `now ${now}${relative ? ` (${relative})` : ''}`,
        `tolerance ${tolerance}`,
      ].map((line) => wrapAnsi(line, width - indent.length, { hard: true }));
      const head = wrapAnsi(`${movement.verdict}: ${place}: ${quantity}`, width, { hard: true });
      return [head, ...lines.flatMap((line) => line.split('\n').map((part) => indent + part))].join('\n');
    })
    .join('\n\n');
}
