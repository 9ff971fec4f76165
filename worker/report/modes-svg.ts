import { modeShapeChart } from './charts/mode-shape-chart.js';
import type { SupportMarks } from './charts/support-marks.js';

/** The modes of one case, ascending in frequency. The three lists have the same length. */
export interface ModeTable {
  readonly case: string;
  readonly frequencies_Hz: readonly number[];
  /** Effective modal mass of the vertical direction over the whole mass, 0 to 1. */
  readonly participation: readonly number[];
  /** Vertical shape of the deck, any scale, positive downwards. */
  readonly shapes: readonly { readonly x_m: readonly number[]; readonly deck: readonly number[] }[];
}

const drawnModes = 12;

/** The first twelve mode shapes as one SVG file with frequencies and participation. Ends with a line feed. */
export function renderModesSvg(
  title: string,
  table: ModeTable,
  marks: SupportMarks = { supports: [], lost: new Set() },
): string {
  const shapes = table.shapes.slice(0, drawnModes).map((shape, index) => ({
    frequency_Hz: table.frequencies_Hz[index] ?? Number.NaN,
    x_m: shape.x_m,
    deck: shape.deck,
  }));
  return `${modeShapeChart({ id: 'modes', subject: `${title}, ${table.case}`, shapes, marks, participation: table.participation })}\n`;
}
