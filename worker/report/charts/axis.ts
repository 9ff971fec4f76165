import type { ScaleLinear } from 'd3-scale';
import { type Markup, markup } from '../markup.js';
import { formatExact } from '../number-format.js';
import { coordinate, type Frame, ink, textWidth } from './chart-frame.js';

/** Which axis is drawn, from which scale, and what it is called (quantity with unit). */
export interface Axis {
  readonly scale: ScaleLinear<number, number>;
  readonly label: string;
  /** About how many ticks; d3-array picks round values. */
  readonly ticks: number;
}

/** The axis along the bottom with its ticks and label. */
export function bottomAxis(frame: Frame, axis: Axis): Markup {
  const { scale } = axis;
  const marks = scale.ticks(axis.ticks).map((tick) => {
    const x = coordinate(scale(tick));
    const text = formatExact(tick);
    // The number at the end of the axis stays within the picture.
    const middle = coordinate(Math.min(scale(tick), frame.width - textWidth(text, 12) / 2));
    return markup`<line x1="${x}" x2="${x}" y1="${frame.bottom}" y2="${frame.bottom + 5}" stroke="${ink.axis}"/><text x="${middle}" y="${frame.bottom + 22}" text-anchor="middle" fill="${ink.quiet}" font-size="12">${text}</text>`;
  });
  return markup`<line x1="${frame.left}" x2="${frame.right}" y1="${frame.bottom}" y2="${frame.bottom}" stroke="${ink.axis}"/>${marks}<text x="${(frame.left + frame.right) / 2}" y="${frame.bottom + 37}" text-anchor="middle" fill="${ink.quiet}" font-size="12">${axis.label}</text>`;
}

/** The axis up the left side with grid lines across the plot; its label stands above, where it reads without turning. */
export function leftAxis(frame: Frame, axis: Axis): Markup {
  const { scale } = axis;
  const marks = scale.ticks(axis.ticks).map((tick) => {
    const y = coordinate(scale(tick));
    const stroke = tick === 0 ? ink.axis : ink.grid;
    return markup`<line x1="${frame.left}" x2="${frame.right}" y1="${y}" y2="${y}" stroke="${stroke}"/><text x="${frame.left - 7}" y="${coordinate(scale(tick) + 4)}" text-anchor="end" fill="${ink.quiet}" font-size="12">${formatExact(tick)}</text>`;
  });
  return markup`${marks}<text x="4" y="14" fill="${ink.text}" font-weight="600">${axis.label}</text>`;
}
