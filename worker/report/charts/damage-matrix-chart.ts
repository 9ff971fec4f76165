import wrapAnsi from 'wrap-ansi';
import type { CaseResult, Result, Status, TrainResult } from '../../../scenarios/result.js';
import { type Markup, markup, nothing, printable } from '../markup.js';
import { caseName, caseTitle, reservation, speedWords, statusWording } from '../wording.js';
import { coordinate, type Frame, fontOfPictures, hatch, ink, picture } from './chart-frame.js';
import { statusInk, statusSymbol } from './status-mark.js';

const leastRowHeight = 40;
const lineHeight = 15;
const cellWidth = 132;
const nameWidth = 230;
/** Columns side by side on an A4 page whose words are still read without a glass: 6.7 pt, the smallest 5.4 pt. */
const mostColumns = 6;

/**
 * Damage case x train: one cell each with the status symbol and the speed or word. Closed cells are dark, undetermined ones
 * hatched, so that the picture keeps its meaning in grey. Ids of cases and trains stand in full: two that begin alike stay apart.
 * The names of the rows are a picture of their own, so that they can stay in place while the columns are scrolled.
 *
 * @param trains the columns
 */
export function damageMatrixChart(
  id: string,
  result: Result,
  trains: readonly TrainResult[] = trainsOf(result),
): Markup {
  const names = result.cases.map(nameOf);
  const heads = trains.map(({ train, class: group }) => [
    ...lines(train, 17).map((text) => ({ text, name: true })),
    ...lines(group, 18).map((text) => ({ text, name: false })),
  ]);
  const headHeight = 18 + 16 * Math.max(2, ...heads.map((head) => head.length));
  const reserved = result.cases.some((one) => one.trains.some((train) => reservationOf(train) !== null));
  const rowHeight = Math.max(
    reserved ? 50 : leastRowHeight,
    ...names.map(({ id: ids, title }) => 10 + lineHeight * (ids.length + (title === null ? 0 : 1))),
  );
  const width = Math.max(1, trains.length) * cellWidth + 4;
  const bottom = headHeight + result.cases.length * rowHeight;
  const frame: Frame = { width, height: bottom + 6, left: 0, right: width, top: headHeight, bottom };
  const middle = (row: number): number => headHeight + (row + 0.5) * rowHeight;
  const cells = result.cases.map((one, row) =>
    trains.map(({ train }, column) => {
      const outcome = one.trains.find((candidate) => candidate.train === train);
      return outcome === undefined
        ? null
        : cell(id, outcome, { x: column * cellWidth, y: headHeight + row * rowHeight, height: rowHeight });
    }),
  );
  const whole = trains.length === trainsOf(result).length;
  const columns = picture(
    {
      id,
      title: `Permitted speed for every damage case and ${whole ? 'train' : trains.map(({ train }) => train).join(', ')}: ${result.title}`,
      description: result.cases.map((one) => `${caseName(one)}: ${told(outcomesOf(one, trains))}.`).join(' '),
    },
    frame,
    markup`<defs>${hatch(`${id}-hatch`, statusInk.undetermined.edge, 9)}</defs>`,
    heads.map((head, column) => columnHead(head, (column + 0.5) * cellWidth)),
    cells,
  );
  const rowNames = markup`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${nameWidth} ${frame.height}" aria-hidden="true" focusable="false" ${fontOfPictures}>${names.map((name, row) => rowName(name, middle(row)))}</svg>`;
  const shares = `--names:${percent(nameWidth, width)};--columns:${percent(width, nameWidth)};min-width:${Math.round(0.8 * (nameWidth + width))}px;max-width:min(62rem, ${Math.round(1.25 * (nameWidth + width))}px)`;
  return markup`<div class="picture matrix" style="${shares}">${rowNames}${columns}</div>`;
}

/** Every train of the result in as few groups of like size as are legible on paper, one picture each. */
export function matrixColumns(result: Result): readonly (readonly TrainResult[])[] {
  const trains = trainsOf(result);
  const groups = Math.max(1, Math.ceil(trains.length / mostColumns));
  const size = Math.ceil(trains.length / groups);
  return Array.from({ length: groups }, (_, group) => trains.slice(group * size, (group + 1) * size));
}

/** The share that one width has of itself and another. */
function percent(width: number, other: number): string {
  return `${((100 * width) / (width + other)).toFixed(3)}%`;
}

/** The id of a case in lines, and its title as far as it fits on one more. */
interface RowName {
  readonly id: readonly string[];
  readonly title: string | null;
}

function nameOf(one: CaseResult): RowName {
  const title = caseTitle(one);
  return { id: lines(one.damage_case, 30), title: title === null ? null : fitted(title, 33) };
}

function rowName(name: RowName, middle: number): Markup {
  const count = name.id.length + (name.title === null ? 0 : 1);
  const baseline = (line: number): string => coordinate(middle + 4.5 + lineHeight * (line - (count - 1) / 2));
  return markup`${name.id.map((text, line) => markup`<text x="4" y="${baseline(line)}">${text}</text>`)}${name.title === null ? null : markup`<text x="4" y="${baseline(count - 1)}" font-size="12" fill="${ink.quiet}">${name.title}</text>`}`;
}

function columnHead(head: readonly { readonly text: string; readonly name: boolean }[], x: number): Markup {
  return markup`${head.map(({ text, name }, line) =>
    name
      ? markup`<text x="${x}" y="${20 + 16 * line}" text-anchor="middle" font-weight="600">${text}</text>`
      : markup`<text x="${x}" y="${20 + 16 * line}" text-anchor="middle" font-size="12" fill="${ink.quiet}">${text}</text>`,
  )}`;
}

function cell(
  id: string,
  train: TrainResult,
  at: { readonly x: number; readonly y: number; readonly height: number },
): Markup {
  const { fill, edge } = statusInk[train.status];
  const size = { x: at.x + 2, y: at.y + 2, width: cellWidth - 4, height: at.height - 4 };
  const middle = at.y + at.height / 2;
  const words = wordsOf(train);
  const open = reservationOf(train);
  const behind =
    train.status === 'closed' ? nothing : markup` stroke="${fill}" stroke-width="4" paint-order="stroke"`;
  const texture =
    train.status === 'undetermined'
      ? markup`<rect x="${size.x}" y="${size.y}" width="${size.width}" height="${size.height}" rx="3" fill="url(#${id}-hatch)" opacity="0.2"/>`
      : null;
  const small = open === null ? [] : lines(open, 15);
  return markup`<g><title>${train.train}: ${statusWording[train.status].word}, ${words}${open === null ? null : `, ${open}`}</title><rect x="${size.x}" y="${size.y}" width="${size.width}" height="${size.height}" rx="3" fill="${fill}" stroke="${edge}"/>${texture}<g transform="translate(${coordinate(at.x + 20)} ${coordinate(middle)})">${statusSymbol(train.status)}</g><text x="${at.x + 37}" y="${coordinate(middle + (open === null ? 4.5 : -6.5))}" font-weight="600" fill="${textInk(train.status)}"${behind}>${words}</text>${small.map((text, line) => markup`<text x="${at.x + 37}" y="${coordinate(middle + 6.5 + 12 * line)}" font-size="10.5" fill="${ink.text}">${text}</text>`)}</g>`;
}

function textInk(status: Status): string {
  return status === 'closed' ? ink.paper : ink.text;
}

/** Every train of the result once, in the order in which the cases first name it. */
function trainsOf(result: Result): readonly TrainResult[] {
  const seen = new Map<string, TrainResult>();
  for (const one of result.cases) {
    for (const train of one.trains) if (!seen.has(train.train)) seen.set(train.train, train);
  }
  return [...seen.values()];
}

/** What became of these trains in a case, of those that it has. */
function outcomesOf(one: CaseResult, trains: readonly TrainResult[]): readonly TrainResult[] {
  return trains.flatMap(({ train }) => one.trains.find((candidate) => candidate.train === train) ?? []);
}

function told(trains: readonly TrainResult[]): string {
  return trains
    .map((train) => {
      const { word } = statusWording[train.status];
      const speed = speedWords(train.status, train.permitted_speed_kmh);
      const open = reservationOf(train);
      return `${train.train} ${word.toLowerCase()}, ${speed}${open === null ? '' : `, ${open}`}`;
    })
    .join('; ');
}

function wordsOf(train: TrainResult): string {
  return train.status === 'closed' ? 'closed' : speedWords(train.status, train.permitted_speed_kmh);
}

const reservationOf = (train: TrainResult): string | null => reservation(train.status, [train]);

/** The whole text in lines of so many letters, broken between words where it can be. */
function lines(text: string, letters: number): readonly string[] {
  return wrapAnsi(printable(text), letters, { hard: true }).split('\n');
}

function fitted(text: string, letters: number): string {
  return text.length > letters ? `${text.slice(0, letters - 1)}…` : text;
}
