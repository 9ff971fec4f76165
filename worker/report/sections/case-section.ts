import type { CaseResult, Result } from '../../../scenarios/result.js';
import { modeShapeChart } from '../charts/mode-shape-chart.js';
import type { SupportMarks } from '../charts/support-marks.js';
import { effectWords } from '../effect-words.js';
import { type Markup, markup, nothing } from '../markup.js';
import { formatNumber } from '../number-format.js';
import { resistanceCurves } from '../resistance-curves.js';
import { lostSupports, type ScenarioFacts } from '../scenario-facts.js';
import { unbroken } from '../unbroken.js';
import { caseName, reservation, speedWords } from '../wording.js';
import { caseHeading } from './case-heading.js';
import { scrollBox } from './scroll-box.js';
import { staticsSection } from './statics-section.js';
import { statusBadge } from './status-cell.js';
import { trainSection } from './train-section.js';

const shownModes = 6;

/** One damage case, folded: the summary line carries the verdict per train, the rest is the evidence. */
export function caseSection(
  result: Result,
  index: number,
  facts: ScenarioFacts,
  scenarioDocument: unknown,
): Markup {
  const damageCase = result.cases[index];
  if (damageCase === undefined) throw new RangeError(`the result has no case ${index}`);
  const id = `case-${index + 1}`;
  const intact = result.cases.find((one) => one.damage_case === 'intact') ?? null;
  const effects = facts.effects.get(damageCase.damage_case) ?? [];
  const marks: SupportMarks = { supports: facts.supports, lost: lostSupports(effects) };
  const resistances = resistanceCurves(scenarioDocument, damageCase.damage_case, facts.supports);
  const trains = damageCase.trains.map((train, position) =>
    trainSection(train, {
      damageCase,
      lineSpeedKmh: result.line_speed_kmh,
      marks,
      resistances,
      limitEnds: facts.limitEnds,
      id: `${id}-train-${position + 1}`,
    }),
  );
  // The link target lies inside the folded part: following it makes a browser open the fold.
  return markup`<details class="case"><summary><h3>${caseHeading(damageCase)}</h3> <span class="verdicts">${damageCase.trains.map((train) => markup`<span class="chip">${train.train} ${statusBadge(train.status, reservation(train.status, [train]))} ${train.status === 'closed' ? null : speedWords(train.status, train.permitted_speed_kmh)}</span>`)}</span></summary>
<div class="case-body" id="${id}">
${whatItIs(
  damageCase,
  effects.map((effect) => unbroken(effectWords(effect))),
)}
${mechanism(damageCase)}
${staticsSection(damageCase, intact, marks, `${id}-statics`)}
${trains}
${modes(damageCase, intact, marks, `${id}-modes`)}
<p class="back"><a href="#recommendation">Back to the recommendation</a></p>
</div></details>`;
}

function whatItIs(damageCase: CaseResult, effects: readonly string[]): Markup {
  const id = markup`<p class="quiet">Case id: <code>${damageCase.damage_case}</code></p>`;
  if (damageCase.damage_case === 'intact')
    return markup`${id}<p>The viaduct as built, without damage. Every other case is compared with it.</p>`;
  if (effects.length === 0) return id;
  return markup`${id}<ul class="effects">${effects.map((effect) => markup`<li>${effect}</li>`)}</ul>`;
}

function mechanism(damageCase: CaseResult): Markup {
  if (damageCase.stable) return nothing;
  return markup`<p class="alert" role="note"><strong>✕ Not in equilibrium.</strong> ${unbroken(damageCase.mechanism ?? 'Part of the deck moves freely')}. No train may cross, at any speed. Vibration was not assessed: without equilibrium it means nothing.</p>`;
}

function modes(damageCase: CaseResult, intact: CaseResult | null, marks: SupportMarks, id: string): Markup {
  const { frequencies_Hz: frequencies, mode_shapes: shapes } = damageCase;
  if (frequencies.length === 0) return nothing;
  const before = intact === null || intact === damageCase ? null : intact.frequencies_Hz;
  const listed = frequencies.slice(0, 10).map((frequency, index) => {
    const old = before?.[index];
    return markup`<tr><th scope="row">${index + 1}</th>${before === null ? null : markup`<td class="number">${formatNumber(old ?? null)}</td>`}<td class="number">${formatNumber(frequency)}</td></tr>`;
  });
  const subject = caseName(damageCase);
  const table = markup`<table class="narrow"><caption>Frequencies (Hz), the first ${listed.length} of ${frequencies.length} modes used</caption><thead><tr><th scope="col">Mode</th>${before === null ? null : markup`<th scope="col" class="number">Intact</th>`}<th scope="col" class="number">${before === null ? 'Frequency' : 'This case'}</th></tr></thead><tbody>${listed}</tbody></table>`;
  const drawn = shapes.slice(0, shownModes);
  return markup`<h4 id="${id}">Natural modes</h4>
${drawn.length === 0 ? nothing : scrollBox(`Picture: mode shapes, ${subject}`, markup`<div class="picture wide">${modeShapeChart({ id: `${id}-shapes`, subject, shapes: drawn, marks, participation: null })}</div>`)}
<details><summary>Frequencies as numbers</summary>${scrollBox(`Frequencies: ${subject}`, table)}</details>`;
}
