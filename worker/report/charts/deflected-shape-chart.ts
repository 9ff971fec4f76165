import type { Statics } from '../../../scenarios/result.js';
import type { Markup } from '../markup.js';
import { formatNumber } from '../number-format.js';
import { type LineSeries, lineChart } from './line-chart.js';
import { type SupportMarks, supportMarks } from './support-marks.js';

/** The deck under dead load in one case, against intact and, where bearings lifted, with the lifted supports released. */
export interface DeflectedShapeChart {
  readonly id: string;
  readonly subject: string;
  readonly statics: Statics;
  /** Null for the intact case itself. */
  readonly intact: Statics | null;
  readonly released: Statics | null;
  readonly marks: SupportMarks;
}

/** Draws deflection along the deck, positive downwards and drawn downwards, with the supports on the undeflected line. */
export function deflectedShapeChart(chart: DeflectedShapeChart): Markup {
  return drawn(chart, 'Deflection under dead load (mm), drawn down', 'deflection_mm', 'mm');
}

/** The same for the dead-load bending moment, sagging drawn downwards. */
export function deadLoadBendingChart(chart: DeflectedShapeChart): Markup {
  return drawn(chart, 'Bending under dead load (kNm), sagging drawn down', 'bending_kNm', 'kNm');
}

function drawn(
  chart: DeflectedShapeChart,
  yLabel: string,
  quantity: 'deflection_mm' | 'bending_kNm',
  unit: string,
): Markup {
  const { statics, intact, released } = chart;
  const series: LineSeries[] = [];
  if (intact !== null)
    series.push({ label: 'intact', x: intact.x_m, y: intact[quantity], role: 'reference' });
  series.push({
    label: intact === null ? 'intact' : released === null ? 'this case' : 'this case, bearings held down',
    x: statics.x_m,
    y: statics[quantity],
    role: 'primary',
  });
  if (released !== null) {
    series.push({
      label: 'lifted supports released',
      x: released.x_m,
      y: released[quantity],
      role: 'secondary',
    });
  }
  const summary = series.map((one) => {
    let worst = 0;
    for (const [index, value] of one.y.entries())
      if (Math.abs(value) > Math.abs(one.y[worst] ?? 0)) worst = index;
    return `${one.label}: largest ${formatNumber(one.y[worst] ?? null)} ${unit} at ${formatNumber(one.x[worst] ?? null)} m`;
  });
  return lineChart({
    id: chart.id,
    title: `${yLabel}: ${chart.subject}`,
    description: `${summary.join('; ')}. Lost supports: ${[...chart.marks.lost].join(', ') || 'none'}.`,
    width: 860,
    height: 270,
    xLabel: 'along the deck (m)',
    yLabel,
    series,
    yDownwards: true,
    backdrop: (frame, x, y) => supportMarks(chart.marks, frame, x, y(0), frame.top - 10),
  });
}
