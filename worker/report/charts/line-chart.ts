import { max, min } from 'd3-array';
import { scaleLinear } from 'd3-scale';
import { line } from 'd3-shape';
import { type Markup, type MarkupValue, markup, nothing } from '../markup.js';
import { bottomAxis, leftAxis } from './axis.js';
import { coordinate, type Frame, hatch, ink, type PictureText, picture, textWidth } from './chart-frame.js';

/** One curve. x and y have the same length; points that are not finite interrupt the curve. */
export interface LineSeries {
  readonly label: string;
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly role: keyof typeof roles;
}

/** Where, across the x axis, something is marked by a vertical line. */
export interface VerticalMark {
  readonly x: number;
  readonly label: string;
  readonly role: 'decision' | 'reference' | 'resonance';
}

/** A range of x that is hatched. */
export interface Band {
  readonly from: number;
  readonly to: number;
}

/** Everything a line chart shows. */
export interface LineChart extends PictureText {
  readonly width: number;
  readonly height: number;
  readonly xLabel: string;
  readonly yLabel: string;
  readonly series: readonly LineSeries[];
  /** The x range, where it is not that of the series. */
  readonly xDomain?: readonly [number, number];
  /** Draws y downwards, as engineers draw deflections and moments. */
  readonly yDownwards?: boolean;
  readonly bands?: { readonly label: string; readonly ranges: readonly Band[] };
  readonly verticals?: readonly VerticalMark[];
  /** Draws in the plot's own scales, behind the curves: supports of a deck and the like. */
  readonly backdrop?: (
    frame: Frame,
    x: (value: number) => number,
    y: (value: number) => number,
  ) => MarkupValue;
}

const roles = {
  primary: { stroke: ink.primary, width: 2.2, dash: 'none' },
  secondary: { stroke: ink.secondary, width: 2, dash: '9 3' },
  reference: { stroke: ink.reference, width: 1.8, dash: '5 3' },
  limit: { stroke: ink.limit, width: 1.8, dash: '10 3 2 3' },
} as const;

const marks = {
  decision: { stroke: ink.text, width: 2, dash: 'none' },
  reference: { stroke: ink.quiet, width: 1.2, dash: '4 3' },
  resonance: { stroke: ink.secondary, width: 1, dash: '1 3' },
} as const;

/** Curves over one x axis with a legend, bands and marks. The y axis always shows zero. Deterministic. */
export function lineChart(chart: LineChart): Markup {
  const legend = legendRows(chart);
  const top =
    26 + legend.height + (chart.backdrop || chart.verticals?.some((mark) => mark.label !== '') ? 16 : 0);
  const frame: Frame = {
    width: chart.width,
    height: chart.height + legend.height,
    left: 58,
    right: chart.width - 14,
    top,
    bottom: chart.height + legend.height - 46,
  };
  const xs = chart.series.flatMap((one) => [min(one.x), max(one.x)]);
  const ys = chart.series.flatMap((one) => [min(one.y), max(one.y)]);
  const xDomain = chart.xDomain ?? [min(xs, finite) ?? 0, max(xs, finite) ?? 1];
  const low = Math.min(0, min(ys, finite) ?? 0);
  const high = Math.max(0, max(ys, finite) ?? 0);
  const room = high - low === 0 ? 1 : (high - low) * 0.06;
  const x = scaleLinear([...xDomain], [frame.left, frame.right]);
  const y = scaleLinear(
    [low === 0 ? 0 : low - room, high === 0 && low < 0 ? 0 : high + room],
    chart.yDownwards ? [frame.top, frame.bottom] : [frame.bottom, frame.top],
  );
  const curves = chart.series.map((one) => curve(one, x, y));
  return picture(
    chart,
    frame,
    chart.bands?.ranges.length ? markup`<defs>${hatch(`${chart.id}-hatch`, ink.limit)}</defs>` : nothing,
    leftAxis(frame, { scale: y, label: chart.yLabel, ticks: 5 }),
    bottomAxis(frame, { scale: x, label: chart.xLabel, ticks: chart.width > 700 ? 12 : 7 }),
    legend.content,
    (chart.bands?.ranges ?? []).map((band) => bandShape(chart, frame, x, band)),
    chart.backdrop?.(frame, x, y) ?? null,
    curves,
    verticalShapes(chart, frame, x),
  );
}

function finite(value: number | undefined): number | undefined {
  return value !== undefined && Number.isFinite(value) ? value : undefined;
}

function curve(series: LineSeries, x: (value: number) => number, y: (value: number) => number): Markup {
  const role = roles[series.role];
  const path = line<number>()
    .defined((value) => Number.isFinite(value))
    .x((_, index) => x(series.x[index] ?? 0))
    .y((value) => y(value))
    .digits(1)([...series.y]);
  return markup`<path d="${path ?? ''}" fill="none" stroke="${role.stroke}" stroke-width="${role.width}" stroke-dasharray="${role.dash}" stroke-linejoin="round"/>`;
}

function bandShape(chart: LineChart, frame: Frame, x: (value: number) => number, band: Band): Markup {
  const from = Math.max(frame.left, x(band.from));
  const to = Math.min(frame.right, x(band.to));
  // A band narrower than two units would vanish; it is drawn wider, towards blocked.
  const width = Math.max(2, to - from);
  if (from > frame.right || to < frame.left) return nothing;
  return markup`${bandRectangle(frame, from, width, ink.limit, 0.08)}${bandRectangle(frame, from, width, `url(#${chart.id}-hatch)`, 0.45)}`;
}

function bandRectangle(frame: Frame, x: number, width: number, fill: string, opacity: number): Markup {
  return markup`<rect x="${coordinate(x)}" y="${coordinate(frame.top)}" width="${coordinate(width)}" height="${coordinate(frame.bottom - frame.top)}" fill="${fill}" opacity="${opacity}"/>`;
}

function verticalShapes(chart: LineChart, frame: Frame, x: (value: number) => number): Markup {
  let lastEnd = Number.NEGATIVE_INFINITY;
  const shapes = [...(chart.verticals ?? [])]
    .sort((a, b) => a.x - b.x)
    .map((mark) => {
      const at = x(mark.x);
      if (at < frame.left - 0.5 || at > frame.right + 0.5) return nothing;
      const style = marks[mark.role];
      const half = textWidth(mark.label, 11.5) / 2;
      const labelAt = Math.min(frame.right - half, Math.max(frame.left + half, at));
      const fits = mark.label !== '' && (labelAt - half > lastEnd || mark.role === 'decision');
      if (fits) lastEnd = labelAt + half + 4;
      return markup`<line x1="${coordinate(at)}" x2="${coordinate(at)}" y1="${coordinate(frame.top)}" y2="${coordinate(frame.bottom)}" stroke="${style.stroke}" stroke-width="${style.width}" stroke-dasharray="${style.dash}"/>${fits ? markup`<text x="${coordinate(labelAt)}" y="${coordinate(frame.top - 5)}" text-anchor="middle" font-size="11.5" font-weight="${mark.role === 'decision' ? 700 : 400}">${mark.label}</text>` : null}`;
    });
  return markup`${shapes}`;
}

function legendRows(chart: LineChart): { readonly content: Markup; readonly height: number } {
  const entries: { readonly label: string; readonly sample: (x: number, y: number) => Markup }[] = [];
  for (const series of chart.series) {
    if (entries.some((entry) => entry.label === series.label)) continue;
    const role = roles[series.role];
    entries.push({ label: series.label, sample: (x, y) => strokeSample(x, y, role) });
  }
  if (chart.bands && chart.bands.ranges.length > 0) {
    const label = chart.bands.label;
    entries.push({
      label,
      sample: (x, y) =>
        markup`<rect x="${x}" y="${y - 6}" width="24" height="11" fill="url(#${chart.id}-hatch)" stroke="${ink.limit}" stroke-width="0.6"/>`,
    });
  }
  if (chart.verticals?.some((mark) => mark.role === 'resonance')) {
    entries.push({ label: 'resonance speed', sample: (x, y) => strokeSample(x, y, marks.resonance) });
  }
  let x = 6;
  let row = 0;
  const content = entries.map((entry) => {
    const width = 30 + textWidth(entry.label, 12) + 14;
    if (x > 6 && x + width > chart.width) {
      x = 6;
      row += 1;
    }
    const y = 34 + row * 18;
    const shape = markup`${entry.sample(x, y)}<text x="${coordinate(x + 30)}" y="${y + 4}" font-size="12">${entry.label}</text>`;
    x += width;
    return shape;
  });
  return { content: markup`${content}`, height: (row + 1) * 18 };
}

function strokeSample(
  x: number,
  y: number,
  style: { readonly stroke: string; readonly width: number; readonly dash: string },
): Markup {
  return markup`<line x1="${coordinate(x)}" x2="${coordinate(x + 24)}" y1="${y}" y2="${y}" stroke="${style.stroke}" stroke-width="${style.width}" stroke-dasharray="${style.dash}"/>`;
}
