import type { Result, Status, TrainResult } from '../../../scenarios/result.js';
import { type Markup, markup, nothing } from '../markup.js';
import { caseName, speedWords, statusWording } from '../wording.js';
import { coordinate, type Frame, hatch, ink, picture } from './chart-frame.js';
import { statusInk, statusSymbol } from './status-mark.js';

const rowHeight = 40;
const cellWidth = 132;
const nameWidth = 230;
const headHeight = 50;

/**
 * Damage case x train: one cell each with the status symbol and the speed or word. Closed cells are dark, undetermined ones
 * hatched, so that the picture keeps its meaning in grey.
 */
export function damageMatrixChart(id: string, result: Result): Markup {
  const trains = trainsOf(result);
  const frame: Frame = {
    width: nameWidth + Math.max(1, trains.length) * cellWidth + 4,
    height: headHeight + result.cases.length * rowHeight + 6,
    left: nameWidth,
    right: nameWidth + trains.length * cellWidth,
    top: headHeight,
    bottom: headHeight + result.cases.length * rowHeight,
  };
  const heads = trains.map((train, column) => {
    const x = nameWidth + (column + 0.5) * cellWidth;
    return markup`<text x="${x}" y="20" text-anchor="middle" font-weight="600">${fitted(train.train, 17)}</text><text x="${x}" y="37" text-anchor="middle" font-size="12" fill="${ink.quiet}">${fitted(train.class, 18)}</text>`;
  });
  const rows = result.cases.map((one, row) => {
    const y = headHeight + row * rowHeight;
    const cells = trains.map((train, column) => {
      const outcome = one.trains.find((candidate) => candidate.train === train.train);
      return outcome === undefined ? null : cell(id, outcome, nameWidth + column * cellWidth, y);
    });
    return markup`<text x="4" y="${y + rowHeight / 2 + 4.5}">${fitted(caseName(one), 31)}</text>${cells}`;
  });
  return picture(
    {
      id,
      title: `Permitted speed for every damage case and train: ${result.title}`,
      description: result.cases.map((one) => `${caseName(one)}: ${told(one.trains)}.`).join(' '),
    },
    frame,
    markup`<defs>${hatch(`${id}-hatch`, statusInk.undetermined.edge, 9)}</defs>`,
    heads,
    rows,
  );
}

function cell(id: string, train: TrainResult, x: number, y: number): Markup {
  const { fill, edge } = statusInk[train.status];
  const size = { x: x + 2, y: y + 2, width: cellWidth - 4, height: rowHeight - 4 };
  const words = train.status === 'closed' ? 'closed' : speedWords(train.status, train.permitted_speed_kmh);
  const texture =
    train.status === 'undetermined'
      ? markup`<rect x="${size.x}" y="${size.y}" width="${size.width}" height="${size.height}" rx="3" fill="url(#${id}-hatch)" opacity="0.2"/>`
      : null;
  return markup`<g><title>${train.train}: ${statusWording[train.status].word}, ${words}</title><rect x="${size.x}" y="${size.y}" width="${size.width}" height="${size.height}" rx="3" fill="${fill}" stroke="${edge}"/>${texture}<g transform="translate(${coordinate(x + 20)} ${y + rowHeight / 2})">${statusSymbol(train.status)}</g><text x="${x + 37}" y="${y + rowHeight / 2 + 4.5}" font-weight="600" fill="${textInk(train.status)}"${train.status === 'closed' ? nothing : markup` stroke="${fill}" stroke-width="4" paint-order="stroke"`}>${words}</text></g>`;
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

function told(trains: readonly TrainResult[]): string {
  return trains
    .map((train) => {
      const { word } = statusWording[train.status];
      return `${train.train} ${word.toLowerCase()}, ${speedWords(train.status, train.permitted_speed_kmh)}`;
    })
    .join('; ');
}

function fitted(text: string, letters: number): string {
  return text.length > letters ? `${text.slice(0, letters - 1)}…` : text;
}
