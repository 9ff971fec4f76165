import { max } from 'd3-array';
import { scaleLinear } from 'd3-scale';
import { line } from 'd3-shape';
import { type Markup, markup } from '../markup.js';
import { formatFixed, formatNumber } from '../number-format.js';
import { coordinate, type Frame, ink, picture } from './chart-frame.js';
import { type SupportMarks, supportMarks } from './support-marks.js';

/** One mode: its frequency and the vertical shape of the deck, any scale. */
export interface ModeShape {
  readonly frequency_Hz: number;
  readonly x_m: readonly number[];
  readonly deck: readonly number[];
}

export interface ModeShapeChart {
  readonly id: string;
  readonly subject: string;
  readonly shapes: readonly ModeShape[];
  readonly marks: SupportMarks;
  /** Share of the vertical mass that moves with each mode, 0 to 1; null where it is not known. */
  readonly participation: readonly number[] | null;
}

const rowHeight = 62;

/** Mode shapes under each other, each scaled to its own largest ordinate, with frequency and the supports on its base line. */
export function modeShapeChart(chart: ModeShapeChart): Markup {
  const width = 860;
  const left = 170;
  const height = chart.shapes.length * rowHeight + 30;
  const lastX = max(chart.shapes, (shape) => max(shape.x_m)) ?? 1;
  const x = scaleLinear([0, lastX], [left, width - 14]);
  const rows = chart.shapes.map((shape, index) => {
    const middle = index * rowHeight + rowHeight / 2;
    const largest = max(shape.deck, Math.abs) || 1;
    // Downwards is positive everywhere else, so it is here too.
    const path = line<number>()
      .defined(Number.isFinite)
      .x((_, point) => x(shape.x_m[point] ?? 0))
      .y((value) => middle + (value / largest) * (rowHeight * 0.38))
      .digits(1)([...shape.deck]);
    const share = chart.participation?.[index];
    const baseline = markup`<line x1="${left}" x2="${width - 14}" y1="${middle}" y2="${middle}" stroke="${ink.axis}" stroke-width="0.8"/>`;
    const dots = chart.marks.supports.map((support) =>
      chart.marks.lost.has(support.id)
        ? markup`<path d="M${coordinate(x(support.xM) - 4)},${middle - 4}l8,8m0,-8l-8,8" stroke="${ink.limit}" stroke-width="1.4"/>`
        : markup`<circle cx="${coordinate(x(support.xM))}" cy="${middle}" r="2.6" fill="${ink.quiet}"/>`,
    );
    return markup`<text x="4" y="${middle - 1}" font-weight="600">Mode ${index + 1}: ${formatNumber(shape.frequency_Hz)} Hz</text>${share === undefined ? null : markup`<text x="4" y="${middle + 16}" font-size="12" fill="${ink.quiet}">${formatFixed(share * 100, 1)} % of mass</text>`}${baseline}${dots}<path d="${path ?? ''}" fill="none" stroke="${ink.primary}" stroke-width="2"/>`;
  });
  const frame: Frame = { width, height, left, right: width - 14, top: 0, bottom: height };
  const listed = chart.shapes.map(
    (shape, index) => `mode ${index + 1} at ${formatNumber(shape.frequency_Hz)} Hz`,
  );
  return picture(
    {
      id: chart.id,
      title: `Mode shapes of the deck: ${chart.subject}`,
      description: `${listed.join('; ')}. Each drawn to its own largest ordinate.`,
    },
    frame,
    supportMarks(chart.marks, { ...frame, bottom: height - 28 }, x, height - 28, height - 5),
    rows,
  );
}
