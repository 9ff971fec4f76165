import type { Envelope } from '../../../scenarios/result.js';
import type { Markup } from '../markup.js';
import { formatNumber } from '../number-format.js';
import { type LineSeries, lineChart } from './line-chart.js';
import { type SupportMarks, supportMarks } from './support-marks.js';

/** What the envelope pictures of one train share. */
export interface EnvelopeChart {
  readonly id: string;
  readonly envelope: Envelope;
  readonly marks: SupportMarks;
  readonly subject: string;
  /** Extra curves in the same unit: resistances or limits along the deck. */
  readonly limits: readonly LineSeries[];
}

/** Largest deck acceleration along the deck at the speed that governs. */
export function accelerationEnvelopeChart(chart: EnvelopeChart): Markup {
  const { x_m: x, deck_acceleration_m_per_s2: y } = chart.envelope;
  return along(chart, 'Deck acceleration (m/s²)', false, [
    { label: 'largest deck acceleration', x, y, role: 'primary' },
    ...chart.limits,
  ]);
}

/** Largest and smallest bending moment of dead load plus train along the deck; sagging is drawn downwards. */
export function bendingEnvelopeChart(chart: EnvelopeChart): Markup {
  const { x_m: x, total_bending_max_kNm: largest, total_bending_min_kNm: smallest } = chart.envelope;
  return along(chart, 'Bending, dead load plus train (kNm), sagging drawn down', true, [
    { label: 'largest', x, y: largest, role: 'primary' },
    { label: 'smallest', x, y: smallest, role: 'secondary' },
    ...chart.limits,
  ]);
}

function along(
  chart: EnvelopeChart,
  yLabel: string,
  yDownwards: boolean,
  series: readonly LineSeries[],
): Markup {
  const speed = formatNumber(chart.envelope.speed_kmh, 4);
  const curves = series.map((one) => `${one.label} from ${extremes(one.y)}`);
  return lineChart({
    id: chart.id,
    title: `${yLabel} along the deck: ${chart.subject}`,
    description: `At ${speed} km/h, from support to support along the deck: ${curves.join('; ')}.`,
    width: 860,
    height: 300,
    xLabel: `along the deck (m), at ${speed} km/h`,
    yLabel,
    series,
    yDownwards,
    backdrop: (frame, x, y) => supportMarks(chart.marks, frame, x, y(0), frame.top - 10),
  });
}

function extremes(values: readonly number[]): string {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    if (!Number.isFinite(value)) continue;
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  return low > high ? 'no value' : `${formatNumber(low)} to ${formatNumber(high)}`;
}
