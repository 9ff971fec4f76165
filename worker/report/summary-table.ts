import Table from 'cli-table3';
import wrapAnsi from 'wrap-ansi';
import type { Recommendation, Result } from '../../scenarios/result.js';
import { recommendationGovernedBy } from './governing-words.js';
import { formatSpeed } from './number-format.js';
import { selectionWords } from './selection-words.js';
import { plainRules, statusColour, terminalText } from './terminal-text.js';
import { unbroken, withPlainSpaces } from './unbroken.js';
import { reservation, speedWords, statusWording, stretchWords } from './wording.js';

/** How wide the terminal is, in columns, and whether it shows colour. */
export interface SummaryOptions {
  readonly width: number;
  readonly colour: boolean;
}

const narrowest = 40;
const narrowestTable = 84;

/**
 * The recommendation for a terminal: damage case x class with permitted speed, governing check and reason, wrapped to the
 * width, and under it the stretch of line, for which running the speeds hold and what a selection left out. Narrow terminals get one paragraph per row instead of a table. Ends with a line feed.
 */
export function renderSummary(result: Result, options: SummaryOptions): string {
  const width = Math.max(narrowest, Math.floor(options.width));
  const head = wrapAnsi(
    `${terminalText(result.title)}: line speed ${unbroken(`${formatSpeed(result.line_speed_kmh)} km/h`)}`,
    width,
    { hard: true },
  );
  const body =
    width < narrowestTable ? paragraphs(result, width, options.colour) : table(result, width, options.colour);
  const below = [...stretches(result), result.speeds_hold, selectionWords(result)].flatMap((sentence) =>
    sentence ? [`\n${wrapAnsi(unbroken(terminalText(sentence)), width, { hard: true })}\n`] : [],
  );
  return withPlainSpaces(`${head}\n\n${body}\n${below.join('')}`);
}

function table(result: Result, width: number, colour: boolean): string {
  const { recommendations: rows } = result;
  const fixed = [
    longest(rows, (row) => row.damage_case, 12, 24),
    longest(rows, (row) => row.class, 7, 14),
    18,
    18,
  ];
  const reason = width - fixed.reduce((total, column) => total + column, 0) - fixed.length;
  const widths = [...fixed, reason];
  const view = new Table({
    head: ['Damage case', 'Class', 'Permitted speed', 'Governed by', 'Reason'],
    colWidths: widths,
    chars: plainRules,
    style: { head: [], border: [], 'padding-left': 0, 'padding-right': 1, compact: true },
  });
  rows.forEach((row, index) => {
    const repeated = rows[index - 1]?.damage_case === row.damage_case;
    const cells = [
      repeated ? '' : terminalText(row.damage_case),
      terminalText(row.class),
      `${statusColour(row.status, statusWording[row.status].word, colour)}\n${speeds(row, result).join('\n')}`,
      governed(row, result).join('\n'),
      unbroken(terminalText(row.reason)),
    ].map((text, column) => wrapAnsi(text, (widths[column] ?? 1) - 1, { hard: true }).split('\n'));
    // A row for each line: the table measures all lines of a cell anew for each of them, more than once.
    const height = Math.max(...cells.map((lines) => lines.length));
    for (let line = 0; line < height; line++) view.push(cells.map((lines) => lines[line] ?? ''));
  });
  return view
    .toString()
    .split('\n')
    .map((line) => line.trimEnd())
    .join('\n');
}

function paragraphs(result: Result, width: number, colour: boolean): string {
  return result.recommendations
    .map((row) => {
      const status = statusColour(row.status, statusWording[row.status].word, colour);
      const lines = [
        `${terminalText(row.damage_case)}, ${terminalText(row.class)}`,
        `${status}: ${speeds(row, result).join(', ')}`,
        ...(row.governing === null ? [] : [`governed by ${governed(row, result).join(', ')}`]),
        unbroken(terminalText(row.reason)),
      ];
      return lines
        .map((line, index) => {
          const indent = index === 0 ? '' : '  ';
          return wrapAnsi(line, width - indent.length, { hard: true })
            .split('\n')
            .map((part) => indent + part)
            .join('\n');
        })
        .join('\n');
    })
    .join('\n\n');
}

/** The stretches of line that the recommendations hold for, one sentence each; the cases are named where there are several. */
function stretches({ recommendations }: Result): readonly string[] {
  const cases = new Map<string, Set<string>>();
  for (const row of recommendations) {
    const stretch = stretchWords(row).join(' ');
    cases.set(stretch, (cases.get(stretch) ?? new Set()).add(row.damage_case));
  }
  return [...cases].map(([stretch, of]) =>
    cases.size === 1
      ? `Stretch of line: ${stretch}.`
      : `Stretch of line of ${[...of].join(', ')}: ${stretch}.`,
  );
}

function speeds(row: Recommendation, { cases }: Result): readonly string[] {
  const lines = [speedWords(row.status, row.permitted_speed_kmh)];
  const { comfort_speed_kmh: comfort, permitted_speed_kmh: permitted } = row;
  if (comfort !== null && permitted !== null && comfort < permitted)
    lines.push(`comfort ${formatSpeed(comfort)} km/h`);
  const trains = cases.find((one) => one.damage_case === row.damage_case)?.trains ?? [];
  const open = reservation(
    row.status,
    trains.filter((train) => train.class === row.class),
  );
  return open === null ? lines : [...lines, open];
}

function governed(row: Recommendation, result: Result): readonly string[] {
  const train = row.governing_train === null ? [] : [terminalText(row.governing_train)];
  const words = recommendationGovernedBy(row, result);
  return words === null ? ['–'] : [words, ...train];
}

function longest(
  rows: readonly Recommendation[],
  read: (row: Recommendation) => string,
  least: number,
  most: number,
): number {
  return Math.min(most, Math.max(least, ...rows.map((row) => terminalText(read(row)).length + 1)));
}
