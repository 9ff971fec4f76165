import type { PhrasingContent, RootContent, Table, TableRow } from 'mdast';
import { gfmTableToMarkdown } from 'mdast-util-gfm-table';
import { toMarkdown } from 'mdast-util-to-markdown';
import { countText, mostListed, movementCells, movementColumns, worstFirst } from './movement-text.js';
import type { RegressionRun } from './run-regression.js';

/** The run as a page for a pull request or a job summary: the verdict, one line per scenario, then what moved. */
export function markdownSummary({ outcomes, seconds, passed }: RegressionRun, engine: string): string {
  const bad = outcomes.filter(({ verdict }) => verdict !== 'unchanged' && verdict !== 'drift').length;
  const verdict = passed
    ? `All ${outcomes.length} scenarios agree with their baselines.`
    : `${bad} of ${outcomes.length} scenarios do not agree with their baselines.`;
  const children: RootContent[] = [
    { type: 'heading', depth: 1, children: [text('Regression')] },
    paragraph(`${verdict} ${engine}, ${seconds.toFixed(1)} s.`),
    table(
      ['scenario', 'verdict', 'what moved'],
      outcomes.map(({ id, verdict: own, movements, fault }) => [id, own, fault ?? countText(movements)]),
    ),
  ];
  for (const { id, title, movements } of outcomes) {
    if (movements.length === 0) continue;
    const { shown, left } = worstFirst(movements, mostListed.markdown);
    children.push(
      { type: 'heading', depth: 2, children: [text(id)] },
      paragraph(title),
      table(
        ['verdict', ...movementColumns],
        shown.map((movement) => [movement.verdict, ...movementCells(movement)]),
      ),
      ...(left > 0 ? [paragraph(`and ${left} more`)] : []),
    );
  }
  return toMarkdown({ type: 'root', children }, { extensions: [gfmTableToMarkdown()] });
}

const text = (value: string): PhrasingContent => ({ type: 'text', value });
const paragraph = (value: string): RootContent => ({ type: 'paragraph', children: [text(value)] });

function table(head: readonly string[], rows: readonly (readonly string[])[]): Table {
  return { type: 'table', children: [head, ...rows].map(row) };
}

function row(cells: readonly string[]): TableRow {
  // A cell is one line.
  const children = cells.map((cell) => ({
    type: 'tableCell' as const,
    children: [text(cell.replace(/\s+/g, ' '))],
  }));
  return { type: 'tableRow', children };
}
