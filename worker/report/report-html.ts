import type { Result } from '../../scenarios/result.js';
import { Markup, markup } from './markup.js';
import { reportStyle } from './report-style.js';
import { readScenarioFacts } from './scenario-facts.js';
import { assumedDamage } from './sections/assumed-damage.js';
import { caseSection } from './sections/case-section.js';
import { cautionsSection, provenanceSection } from './sections/closing-sections.js';
import { inputsSection } from './sections/inputs-section.js';
import { recommendationSection } from './sections/recommendation-section.js';
import { selectionWords } from './selection-words.js';
import { caseName } from './wording.js';

/**
 * The report as one HTML file that needs nothing else: no script, no network, no font. The same result and scenario give
 * the same bytes.
 *
 * @param scenarioDocument the scenario file as parsed JSON; it is echoed and gives pictures their supports, nothing else.
 */
export function renderReport(result: Result, scenarioDocument: unknown): string {
  const facts = readScenarioFacts(scenarioDocument);
  const selection = selectionWords(result);
  const body = markup`<a class="skip" href="#recommendation">Skip to the recommendation</a>
<div class="page">
<header>
<p class="kicker">Permitted train speeds, intact and after damage</p>
<h1${result.title.length > longTitle ? markup` class="long" tabindex="0"` : null} dir="auto">${result.title}</h1>
${selection === null ? null : markup`<p class="strip"><strong>${selection}</strong></p>`}
<p class="strip">This report supports a licensed engineer and does not replace one. Local codes and procedures decide; inspect the structure before any train crosses. See the <a href="#cautions">cautions</a>.</p>
</header>
<main>
${recommendationSection(result)}
${contents(result, facts.notes !== null)}
${facts.notes === null ? null : markup`<section class="notes" aria-labelledby="notes"><h2 id="notes">Notes of the scenario</h2><p dir="auto">${facts.notes}</p></section>`}
<section aria-labelledby="cases"><h2 id="cases">Damage cases</h2><p class="screen-only">Open a case for its evidence: statics, speed sweeps, checks and modes. Cases that are open are printed, too.</p>
<p class="choice screen-only"><input type="checkbox" id="print-evidence"> <label for="print-evidence">Print the evidence of every case and the inputs as well: many pages</label></p>
<p class="folds"><strong>This browser prints only the cases that are open, and the inputs only if they are.</strong> Open those that are wanted on paper and print again, or print from another browser.</p>
${assumedDamage(result, facts)}
<p class="on-paper left-out">Not on this paper: the evidence (statics, speed sweeps, checks and modes) of every case that was folded on the screen, and the inputs unless they were open. To have it printed, open the cases that are wanted in the report, or tick “Print the evidence of every case” above them, and print again.</p>
${result.cases.map((_, index) => caseSection(result, index, facts, scenarioDocument))}
</section>
${inputsSection(scenarioDocument)}
${cautionsSection(result)}
${provenanceSection(result)}
</main>
</div>`;
  return markup`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${result.title}: permitted speeds${selection === null ? null : ' of a selection'}</title>
<style>${new Markup(reportStyle)}</style>
</head>
<body>
${body}
</body>
</html>
`.text;
}

/** Letters from which on a title is set smaller, so that the recommendation stays on the first screen. */
const longTitle = 120;

function contents(result: Result, notes: boolean): Markup {
  const links: readonly (readonly [string, string])[] = [
    ['recommendation', 'Recommendation'],
    ['matrix', 'Every case and train'],
    ...(notes ? [['notes', 'Notes'] as const] : []),
    ...result.cases.map((one, index) => [`case-${index + 1}`, caseName(one)] as const),
    ['inputs', 'Inputs'],
    ['cautions', 'Cautions'],
    ['provenance', 'Provenance'],
  ];
  return markup`<nav class="contents" aria-label="Contents"><p>Contents</p><ul>${links.map(([id, text]) => markup`<li><a href="#${id}">${text}</a></li>`)}</ul></nav>`;
}
