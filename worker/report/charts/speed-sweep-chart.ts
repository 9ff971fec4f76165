import type { TrainResult } from '../../../scenarios/result.js';
import type { Markup } from '../markup.js';
import { formatNumber, formatSpeed } from '../number-format.js';
import { quantityName } from '../quantity.js';
import { type LineSeries, lineChart, type VerticalMark } from './line-chart.js';

/** One quantity of a train's sweep over speed: its limit, resonance speeds, permitted speed and blocked bands. */
export interface SpeedSweepChart {
  readonly id: string;
  readonly train: TrainResult;
  /** A key of the train's sweep. */
  readonly quantity: string;
  readonly lineSpeedKmh: number;
  /** Names the picture for readers who cannot see it, e.g. "intact, HSLM-A1". */
  readonly subject: string;
}

/**
 * Swept quantities whose checks add what dead load or damage has left to the train's share, which alone is swept: a chart that did not say
 * so would seem to contradict the check beside it.
 */
const trainAlone: ReadonlySet<string> = new Set([
  'bending_sagging_kNm',
  'bending_hogging_kNm',
  'shear_kN',
  'support_reaction_kN',
  'support_reaction_smallest_kN',
  'slab_bending_kNm',
  'rail_bending_kNm',
  'joint_step_mm',
  'deck_twist_mm',
]);

/** Draws the largest value over deck, time and both directions against speed. */
export function speedSweepChart(chart: SpeedSweepChart): Markup {
  const { train, quantity } = chart;
  const speeds = train.sweep.speed_kmh;
  const values = train.sweep[quantity] ?? [];
  const steps = train.sweep_limits[quantity] ?? [];
  const first = speeds[0] ?? 0;
  const last = speeds.at(-1) ?? 0;
  const { label: name, unit } = quantityName(quantity);
  const label = trainAlone.has(quantity) ? `${name}, train alone` : name;
  const series: LineSeries[] = [{ label, x: speeds, y: values, role: 'primary' }];
  const limit = limitCurve(steps, first, last);
  if (limit !== null) series.push(limit);
  return lineChart({
    id: chart.id,
    title: `${label} against speed: ${chart.subject}`,
    description: describe(chart, label, unit ?? '', values),
    width: 520,
    height: 270,
    xLabel: 'speed (km/h)',
    yLabel: unit === null ? label : `${label} (${unit})`,
    series,
    xDomain: [first, last > first ? last : first + 1],
    bands: {
      label: 'blocked band',
      ranges: train.blocked_bands_kmh.map(([from, to]) => ({ from, to })),
    },
    verticals: verticals(train, chart.lineSpeedKmh),
  });
}

function limitCurve(
  steps: readonly { readonly up_to_kmh: number; readonly limit: number }[],
  first: number,
  last: number,
): LineSeries | null {
  const x: number[] = [];
  const y: number[] = [];
  let from = first;
  for (const step of steps) {
    const to = Math.min(step.up_to_kmh, last);
    if (to < from || from >= last) continue;
    x.push(from, to);
    y.push(step.limit, step.limit);
    from = to;
  }
  return x.length === 0 ? null : { label: 'limit', x, y, role: 'limit' };
}

function verticals(train: TrainResult, lineSpeedKmh: number): VerticalMark[] {
  const result: VerticalMark[] = train.resonance_speeds_kmh.map((speed) => ({
    x: speed,
    label: '',
    role: 'resonance',
  }));
  const permitted = train.permitted_speed_kmh;
  if (permitted !== null) {
    result.push({ x: permitted, label: `permitted ${formatSpeed(permitted)}`, role: 'decision' });
  }
  if (permitted === null || permitted < lineSpeedKmh) {
    result.push({ x: lineSpeedKmh, label: `line ${formatSpeed(lineSpeedKmh)}`, role: 'reference' });
  }
  return result;
}

function describe(chart: SpeedSweepChart, label: string, unit: string, values: readonly number[]): string {
  const { train } = chart;
  let peak = 0;
  for (const [index, value] of values.entries()) {
    if (Math.abs(value) > Math.abs(values[peak] ?? 0)) peak = index;
  }
  const parts = [
    `${label} is largest, ${formatNumber(values[peak] ?? null)} ${unit}, at ${formatNumber(train.sweep.speed_kmh[peak] ?? null)} km/h.`,
  ];
  for (const step of train.sweep_limits[chart.quantity] ?? []) {
    parts.push(`Limit ${formatNumber(step.limit)} ${unit} up to ${formatNumber(step.up_to_kmh)} km/h.`);
  }
  parts.push(
    train.permitted_speed_kmh === null
      ? 'No speed is permitted.'
      : `Permitted speed ${formatSpeed(train.permitted_speed_kmh)} km/h.`,
  );
  if (train.blocked_bands_kmh.length > 0) {
    const bands = train.blocked_bands_kmh.map(([from, to]) => `${formatNumber(from)} to ${formatNumber(to)}`);
    parts.push(`Blocked bands: ${bands.join(', ')} km/h.`);
  }
  return parts.join(' ');
}
