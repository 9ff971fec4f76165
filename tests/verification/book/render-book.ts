import { lineChart } from '../../../worker/report/charts/line-chart.js';
import { Markup, markup } from '../../../worker/report/markup.js';
import { formatNumber } from '../../../worker/report/number-format.js';
import { reportStyle } from '../../../worker/report/report-style.js';
import type { CommitStamp } from './commit-stamp.js';
import { isWithinTolerance, relativeDifference } from './judge-quantity.js';
import type { Chapter, Evidence, Quantity, Tolerance, VerificationCase } from './verification-case.js';

/** A case with what it found. */
export interface EvaluatedCase {
  readonly verificationCase: VerificationCase;
  readonly evidence: Evidence;
}

export interface EvaluatedChapter {
  readonly chapter: Chapter;
  readonly cases: readonly EvaluatedCase[];
}

/** The whole book as one self-contained page; the same input gives the same bytes. */
export function renderBook(
  chapters: readonly EvaluatedChapter[],
  engine: string,
  stamp: CommitStamp,
): string {
  const quantities = chapters.flatMap(({ cases }) => cases.flatMap(({ evidence }) => evidence.quantities));
  const missed = quantities.filter((quantity) => !isWithinTolerance(quantity)).length;
  const count = chapters.reduce((sum, { cases }) => sum + cases.length, 0);
  const page = markup`<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>Verification of deckpace</title><style>${styleSheet}</style></head><body><div class="page">
<p class="kicker">${engine} · commit ${stamp.commit.slice(0, 12)}${stamp.date ? ` of ${stamp.date}` : null}${stamp.modified ? ', with local changes' : null}</p>
<h1>Verification book</h1>
<p>${count} examples, ${quantities.length} values beside a published, closed-form or independently computed reference. ${missed === 0 ? 'Every value is within its tolerance.' : markup`<strong class="flag">${missed} values miss their tolerance.</strong>`}</p>
<p>References marked (mem) are quoted from memory and wait for a check against the printed source. Agreement here says that the equations are solved correctly; whether they describe a given viaduct remains for a licensed engineer and the local code to judge.</p>
<p>Made by <code>npm run verification</code>; the same commit gives the same page.</p>
<nav class="contents"><p>Contents</p><ul>${chapters.map(({ chapter }) => markup`<li><a href="#${chapter.id}">${chapter.title}</a></li>`)}</ul></nav>
${summary(chapters)}
${chapters.map(({ chapter, cases }) => markup`<section id="${chapter.id}"><h2>${chapter.title}</h2>${cases.map(caseSection)}</section>`)}
<section><h2>Checked</h2><p>Independent checker, date, signature:</p><p class="signature"></p></section>
</div></body></html>`;
  return `<!doctype html>\n${page.text}\n`;
}

/** Written in this project, hence taken as it is. */
const styleSheet = new Markup(`${reportStyle}
.verdict-cell { font-weight: 600; white-space: nowrap; }
.why { font-size: .82rem; color: var(--quiet); min-width: 14rem; }
.sketch, .chart { max-width: 40rem; }
.signature { border-bottom: 1px solid var(--text); height: 3rem; max-width: 30rem; }
`);

function summary(chapters: readonly EvaluatedChapter[]): Markup {
  const rows = chapters.flatMap(({ cases }) =>
    cases.map(({ verificationCase, evidence }) => {
      const missed = evidence.quantities.filter((quantity) => !isWithinTolerance(quantity)).length;
      return markup`<tr><th scope="row"><a href="#${verificationCase.id}">${verificationCase.title}</a></th><td class="number">${evidence.quantities.length}</td><td class="verdict-cell">${missed === 0 ? 'within tolerance' : markup`<span class="flag">${missed} missed</span>`}</td></tr>`;
    }),
  );
  return markup`<div class="scroll"><table><caption>Examples</caption><thead><tr><th scope="col">Example</th><th scope="col" class="number">Values</th><th scope="col">Verdict</th></tr></thead><tbody>${rows}</tbody></table></div>`;
}

function caseSection({ verificationCase, evidence }: EvaluatedCase): Markup {
  const { id, title, statement, source, sketch } = verificationCase;
  const chart = evidence.chart
    ? markup`<div class="picture chart">${lineChart({ ...evidence.chart, id: `chart-${id}`, width: 640, height: 320 })}</div>`
    : null;
  return markup`<section class="example" id="${id}"><h3>${title}</h3>
<p>${statement}</p><p class="quiet">Reference: ${source}</p>
${sketch ? markup`<div class="picture sketch">${sketch}</div>` : null}
<div class="evidence"><div class="scroll" tabindex="0" role="region" aria-label="Values of ${title}"><table><thead><tr><th scope="col">Quantity</th><th scope="col" class="number">Reference</th><th scope="col" class="number">Computed</th><th scope="col">Unit</th><th scope="col" class="number">Difference</th><th scope="col" class="number">Tolerance</th><th scope="col">Verdict</th><th scope="col">Why this tolerance</th></tr></thead><tbody>${evidence.quantities.map(quantityRow)}</tbody></table></div>${chart}</div></section>`;
}

function quantityRow(quantity: Quantity, index: number, all: readonly Quantity[]): Markup {
  const within = isWithinTolerance(quantity);
  const share = relativeDifference(quantity);
  const difference =
    quantity.tolerance.kind === 'absolute' || share === null
      ? formatNumber(quantity.computed - quantity.reference, 2)
      : percent(share);
  const why = all[index - 1]?.why === quantity.why ? 'as above' : quantity.why;
  return markup`<tr><th scope="row">${quantity.name}</th><td class="number">${formatNumber(quantity.reference, 6)}</td><td class="number">${formatNumber(quantity.computed, 6)}</td><td>${quantity.unit}</td><td class="number">${difference}</td><td class="number">${toleranceText(quantity.tolerance)}</td><td class="verdict-cell">${within ? 'within' : markup`<span class="flag">missed</span>`}</td><td class="why">${why}</td></tr>`;
}

function toleranceText(tolerance: Tolerance): string {
  switch (tolerance.kind) {
    case 'relative':
      return percent(tolerance.share);
    case 'absolute':
      return formatNumber(tolerance.amount, 2);
    case 'at-most':
      return 'at most the reference';
    case 'at-least':
      return 'at least the reference';
  }
}

function percent(share: number): string {
  return `${formatNumber(share * 100, 2)} %`;
}
