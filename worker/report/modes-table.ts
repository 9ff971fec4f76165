import Table from 'cli-table3';
import type { ModeTable } from './modes-svg.js';
import { formatFixed, formatNumber } from './number-format.js';
import { plainRules, terminalText } from './terminal-text.js';

/** Frequencies, participation and its running sum for a terminal. Ends with a line feed. */
export function renderModesTable(table: ModeTable): string {
  const view = new Table({
    head: ['Mode', 'Frequency (Hz)', 'Participation (%)', 'Sum (%)'],
    colAligns: ['right', 'right', 'right', 'right'],
    chars: plainRules,
    style: { head: [], border: [], 'padding-left': 0, 'padding-right': 2, compact: true },
  });
  let sum = 0;
  table.frequencies_Hz.forEach((frequency, index) => {
    const share = table.participation[index] ?? 0;
    sum += share;
    view.push([
      String(index + 1),
      formatNumber(frequency, 4),
      formatFixed(100 * share, 2),
      formatFixed(100 * sum, 2),
    ]);
  });
  const lines = view.toString().split('\n');
  return `${terminalText(table.case)}\n${lines.map((line) => line.trimEnd()).join('\n')}\n`;
}
