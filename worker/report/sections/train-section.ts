import type { CaseResult, CheckId, TrainResult } from '../../../scenarios/result.js';
import { accelerationEnvelopeChart, bendingEnvelopeChart } from '../charts/envelope-chart.js';
import type { LineSeries } from '../charts/line-chart.js';
import { speedSweepChart } from '../charts/speed-sweep-chart.js';
import type { SupportMarks } from '../charts/support-marks.js';
import { governingWords } from '../governing-words.js';
import { type Markup, markup, nothing } from '../markup.js';
import { formatNumber, formatSpeed } from '../number-format.js';
import { unbroken } from '../unbroken.js';
import { caseName, reservation, speedWords } from '../wording.js';
import { checksTable } from './checks-table.js';
import { deckEndsTable } from './deck-ends-table.js';
import { scrollBox } from './scroll-box.js';
import { statusBadge } from './status-cell.js';

/** What a train's section needs beside the train itself. */
export interface TrainContext {
  readonly damageCase: CaseResult;
  readonly lineSpeedKmh: number;
  readonly marks: SupportMarks;
  /** Bending resistances along the deck in this case, kNm; empty where none are known. */
  readonly resistances: readonly LineSeries[];
  /** Where the limits of checks end, in km/h. */
  readonly limitEnds: ReadonlyMap<CheckId, number>;
  /** Id of the section's heading, which prefixes every id inside. */
  readonly id: string;
}

/** One train on one case: verdict first, then sweeps of the judged quantities, envelopes, checks and missing evidence. */
export function trainSection(train: TrainResult, context: TrainContext): Markup {
  const { id, damageCase } = context;
  const subject = `${caseName(damageCase)}, ${train.train}`;
  const governedBy = governingWords(train);
  const judged = judgedQuantities(train);
  const others = Object.keys(train.sweep)
    .filter((key) => key !== 'speed_kmh' && !judged.includes(key) && (train.sweep[key]?.length ?? 0) > 0)
    .sort();
  const sweepCharts = (keys: readonly string[], group: string): Markup =>
    markup`<div class="charts">${keys.map((quantity, index) => markup`<div class="picture">${speedSweepChart({ id: `${id}-${group}-${index + 1}`, train, quantity, lineSpeedKmh: context.lineSpeedKmh, subject })}</div>`)}</div>`;
  return markup`<section class="train" aria-labelledby="${id}">
<h4 id="${id}">${train.train} <span class="quiet">${train.class}</span></h4>
<p class="verdict">${statusBadge(train.status, reservation(train.status, [train]))} <strong class="speed">${speedWords(train.status, train.permitted_speed_kmh)}</strong>${governedBy === null ? null : markup` <span class="quiet">governed by ${governedBy.toLowerCase()}</span>`}</p>
<p class="reason">${unbroken(train.reason)}</p>
${missingEvidence(train)}${speedFacts(train)}${judged.length === 0 ? nothing : markup`<h5>Speed sweep of the quantities that are judged</h5>${sweepCharts(judged, 'sweep')}`}${envelopes(train, context, subject)}${checksTable(train, subject, context.limitEnds)}${deckEndsTable(train, subject)}${others.length === 0 ? nothing : markup`<details class="screen-only"><summary>Speed sweep of ${others.length} further quantities</summary>${sweepCharts(others, 'further')}</details>`}
</section>`;
}

/** Swept quantities that have a limit; the one that governs comes first. */
function judgedQuantities(train: TrainResult): readonly string[] {
  const governing = train.governing?.replaceAll('-', '_') ?? null;
  const leads = (key: string): number => (governing !== null && key.startsWith(governing) ? 0 : 1);
  return Object.keys(train.sweep)
    .filter((key) => key !== 'speed_kmh' && (train.sweep[key]?.length ?? 0) > 0)
    .filter((key) => (train.sweep_limits[key]?.length ?? 0) > 0 || leads(key) === 0)
    .sort((a, b) => leads(a) - leads(b) || (a < b ? -1 : 1));
}

function missingEvidence(train: TrainResult): Markup {
  if (train.missing.length === 0) return nothing;
  return markup`<div class="missing"><p><strong>Evidence missing.</strong> To be supplied by an engineer before this can be judged:</p><ul>${train.missing.map((item) => markup`<li>${item}</li>`)}</ul></div>`;
}

function speedFacts(train: TrainResult): Markup {
  const facts: [string, string][] = [];
  if (train.comfort_speed_kmh !== null)
    facts.push(['Comfort is kept up to', `${formatSpeed(train.comfort_speed_kmh)} km/h`]);
  if (train.blocked_bands_kmh.length > 0) {
    const bands = train.blocked_bands_kmh.map(
      ([from, to]) => `${formatNumber(from, 4)} to ${formatNumber(to, 4)} km/h`,
    );
    facts.push(['Blocked bands', `${bands.join('; ')}. Speeds above a blocked band are never recommended.`]);
  }
  if (train.resonance_speeds_kmh.length > 0) {
    facts.push([
      'Predicted resonance speeds',
      `${train.resonance_speeds_kmh.map((speed) => formatNumber(speed, 4)).join(', ')} km/h`,
    ]);
  }
  if (facts.length === 0) return nothing;
  return markup`<dl class="facts">${facts.map(([name, value]) => markup`<div><dt>${name}</dt><dd>${unbroken(value)}</dd></div>`)}</dl>`;
}

function envelopes(train: TrainResult, context: TrainContext, subject: string): Markup {
  const { envelope } = train;
  if (envelope === null || envelope.x_m.length === 0) return nothing;
  const shared = { envelope, marks: context.marks, subject };
  const limit = train.checks.find((check) => check.id === 'deck-acceleration')?.limit ?? null;
  const ends = [envelope.x_m[0] ?? 0, envelope.x_m.at(-1) ?? 0];
  const limits =
    limit === null ? [] : [{ label: 'limit', x: ends, y: [limit, limit], role: 'limit' as const }];
  return markup`<h5>Along the deck at ${formatNumber(envelope.speed_kmh, 4)} km/h, the speed that governs</h5>
${scrollBox(`Picture: acceleration along the deck, ${subject}`, markup`<div class="picture wide">${accelerationEnvelopeChart({ ...shared, id: `${context.id}-acceleration`, limits })}</div>`)}
${scrollBox(`Picture: bending along the deck, ${subject}`, markup`<div class="picture wide">${bendingEnvelopeChart({ ...shared, id: `${context.id}-bending`, limits: context.resistances })}</div>`)}`;
}
