import type { Check, CheckId, TrainResult } from '../../../scenarios/result.js';
import { isHeldByEnd } from '../governing-words.js';
import { type Markup, markup } from '../markup.js';
import { formatNumber, formatSpeed, formatUtilisation } from '../number-format.js';
import { printedUnit } from '../quantity.js';
import { checkNames } from '../wording.js';
import { scrollBox } from './scroll-box.js';

/**
 * Every check of one train with value, limit, utilisation, place and source; the one that governs or is closest to its limit is marked in words.
 *
 * @param limitEnds where limits end, in km/h
 */
export function checksTable(
  train: TrainResult,
  subject: string,
  limitEnds: ReadonlyMap<CheckId, number>,
): Markup {
  if (train.checks.length === 0) return markup`<p>No check could be run.</p>`;
  const mark = isHeldByEnd(train) ? 'closest' : 'governs';
  const rows = train.checks.map((check) =>
    row(check, train.governing === check.id ? mark : null, beyondLimits(check, limitEnds)),
  );
  return scrollBox(
    `Checks: ${subject}`,
    markup`<table class="checks"><caption>Checks, at the worst of the bounds, at every speed up to the end of the sweep</caption><thead><tr><th scope="col">Check</th><th scope="col">Kind</th><th scope="col" class="number">Value</th><th scope="col" class="number">Limit</th><th scope="col">Unit</th><th scope="col">Utilisation</th><th scope="col" class="number">Permits (km/h)</th><th scope="col" class="number">Worst at (km/h)</th><th scope="col">Where</th><th scope="col">Source</th></tr></thead><tbody>${rows}</tbody></table>`,
  );
}

function row(check: Check, mark: string | null, beyond: string | null): Markup {
  const missing = check.evidence === 'missing';
  const judged = beyond === null ? outcome(check) : markup`<strong class="flag">✕ fails: ${beyond}</strong>`;
  return markup`<tr class="${mark === null ? '' : 'governs'}"><th scope="row">${checkNames[check.id]}${mark === null ? null : markup`<br><strong class="flag">${mark}</strong>`}</th><td>${check.kind}</td><td class="number">${formatNumber(check.value)}</td><td class="number">${formatNumber(beyond === null ? check.limit : null)}</td><td>${printedUnit(check.unit)}</td><td>${missing ? markup`<strong class="flag">? evidence missing</strong>` : judged}</td><td class="number">${missing ? 'not judged' : check.permitted_speed_kmh === null ? 'none' : formatSpeed(check.permitted_speed_kmh)}</td><td class="number">${check.speed_kmh === null ? 'any' : formatNumber(check.speed_kmh, 4)}</td><td class="place">${place(check)}</td><td class="source">${check.source}</td></tr>`;
}

/** Where a check fails at a speed for which it has no limit any more, that in words; null where a limit decides. */
function beyondLimits(
  { id, speed_kmh: speed }: Check,
  limitEnds: ReadonlyMap<CheckId, number>,
): string | null {
  const end = limitEnds.get(id);
  return end !== undefined && speed !== null && speed > end
    ? `no limit above ${formatNumber(end)} km/h`
    : null;
}

/** By the utilisation; a check without one, such as equilibrium, fails where it permits no speed at all. */
function outcome(check: Check): Markup {
  const { value, limit, utilisation } = check;
  // Failing for another reason than the value: its number would contradict value and limit.
  const byValue = utilisation === null || utilisation <= 1 || value === null || value > (limit ?? 0);
  if (utilisation !== null && byValue) return utilisationBar(utilisation);
  return byValue && check.permitted_speed_kmh !== null
    ? markup`✓ passes`
    : markup`<strong class="flag">✕ fails</strong>`;
}

/** Utilisation as number, word and bar; the bar's right mark is the limit, and a bar beyond it is hatched by its outline. */
function utilisationBar(utilisation: number): Markup {
  const passes = utilisation <= 1;
  const length = Math.max(0, Math.min(1.25, utilisation)) * 80;
  const colour = passes ? '#14507e' : '#9b1c31';
  const bar = passes
    ? markup`<rect x="0" y="2" width="${length.toFixed(1)}" height="8" fill="${colour}"/>`
    : markup`<rect x="0.5" y="2.5" width="${(length - 1).toFixed(1)}" height="7" fill="none" stroke="${colour}" stroke-width="1.5"/><path d="${stripes(length)}" stroke="${colour}" stroke-width="1.5"/>`;
  return markup`<span class="utilisation"><span class="number">${formatUtilisation(utilisation)}</span> <svg viewBox="0 0 102 12" width="102" height="12" aria-hidden="true" focusable="false"><rect x="0" y="2" width="80" height="8" fill="#e3e7eb"/>${bar}<path d="M80,0v12" stroke="#1d2733" stroke-width="1.5"/></svg> ${passes ? '✓ passes' : markup`<strong class="flag">✕ exceeds</strong>`}</span>`;
}

function stripes(length: number): string {
  let path = '';
  for (let x = 8; x < length; x += 6) path += `M${x},2l-5,8`;
  return path;
}

function place(check: Check): string {
  const at = check.at_m === null ? null : `${formatNumber(check.at_m, 4)}\u00a0m`;
  return [check.where, at].filter((part) => part !== null).join(', ') || '–';
}
