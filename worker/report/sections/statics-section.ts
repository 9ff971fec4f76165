import type { CaseResult, Statics } from '../../../scenarios/result.js';
import { deadLoadBendingChart, deflectedShapeChart } from '../charts/deflected-shape-chart.js';
import type { SupportMarks } from '../charts/support-marks.js';
import { type Markup, markup, nothing } from '../markup.js';
import { formatDifference, formatFixed } from '../number-format.js';
import { caseName } from '../wording.js';
import { scrollBox } from './scroll-box.js';

/** Dead-load statics of a case and what changed against intact. Says so where there is none (a mechanism). */
export function staticsSection(
  damageCase: CaseResult,
  intact: CaseResult | null,
  marks: SupportMarks,
  id: string,
): Markup {
  const { statics, statics_released: released } = damageCase;
  if (statics === null) {
    return markup`<h4 id="${id}">Statics under dead load</h4><p>The deck is not in equilibrium: there are no reactions to report.</p>`;
  }
  const before = damageCase === intact ? null : (intact?.statics ?? null);
  const subject = caseName(damageCase);
  const shape = { subject, statics, intact: before, released: released?.statics ?? null, marks };
  return markup`<h4 id="${id}">Statics under dead load${before === null ? null : ', and what changed against intact'}</h4>
${released === null ? nothing : releasedNote(released)}
<div class="pair">${keyFigures(statics, before, released?.statics ?? null, subject)}${reactions(statics, before, released?.statics ?? null, marks, subject)}</div>
${scrollBox(`Picture: deflected shape, ${subject}`, markup`<div class="picture wide">${deflectedShapeChart({ ...shape, id: `${id}-shape` })}</div>`)}
${scrollBox(`Picture: bending under dead load, ${subject}`, markup`<div class="picture wide">${deadLoadBendingChart({ ...shape, id: `${id}-bending` })}</div>`)}`;
}

function releasedNote(released: NonNullable<CaseResult['statics_released']>): Markup {
  const lifted = released.lifted.join(', ') || 'none';
  return markup`<p class="alert">Dead load alone would pull on the bearings at: <strong>${lifted}</strong>. Bearings only push, so the statics stand twice: with the bearings held down, and with the lifted supports released. ${released.stable ? 'With them released the deck finds another equilibrium.' : markup`<strong>With them released no equilibrium was found.</strong>`}</p>`;
}

function keyFigures(
  statics: Statics,
  before: Statics | null,
  released: Statics | null,
  subject: string,
): Markup {
  const figures: readonly [string, string, (from: Statics) => number, number][] = [
    ['Sag against intact', 'mm', (from) => from.sag_mm, 1],
    ['Largest deflection', 'mm', (from) => from.dead_load_deflection_mm, 1],
    ['Largest sagging moment', 'kNm', (from) => from.max_sagging_kNm, 0],
    ['Largest hogging moment', 'kNm', (from) => Math.abs(from.max_hogging_kNm), 0],
    ['Largest shear', 'kN', (from) => from.max_shear_kN, 0],
  ];
  const rows = figures.map(([name, unit, read, decimals]) =>
    comparison(name, unit, decimals, read(statics), before && read(before), released && read(released)),
  );
  return comparisonTable('Key figures', 'Quantity', rows, before !== null, released !== null, subject);
}

function reactions(
  statics: Statics,
  before: Statics | null,
  released: Statics | null,
  marks: SupportMarks,
  subject: string,
): Markup {
  const known = Object.keys(statics.reactions_kN);
  const inOrder = marks.supports.map((support) => support.id).filter((id) => known.includes(id));
  const ids = [...inOrder, ...known.filter((id) => !inOrder.includes(id))];
  const rows = ids.map((id) =>
    comparison(
      `${id}${marks.lost.has(id) ? ' (lost)' : ''}`,
      'kN',
      0,
      statics.reactions_kN[id] ?? 0,
      before && (before.reactions_kN[id] ?? null),
      released && (released.reactions_kN[id] ?? 0),
    ),
  );
  for (const name of Object.keys({ ...before?.bearing_reactions_kN, ...statics.bearing_reactions_kN })) {
    const of = (from: Statics) => from.bearing_reactions_kN?.[name] ?? 0;
    rows.push(comparison(name, 'kN', 0, of(statics), before && of(before), released && of(released)));
  }
  return comparisonTable(
    'Reactions, positive in compression',
    'Support',
    rows,
    before !== null,
    released !== null,
    subject,
  );
}

function comparison(
  name: string,
  unit: string,
  decimals: number,
  now: number,
  before: number | null,
  released: number | null,
): Markup {
  const change = before === null ? null : now - before;
  const share =
    change === null || before === null || Math.abs(before) < 1e-9 ? null : (100 * change) / Math.abs(before);
  return markup`<tr><th scope="row">${name}</th><td>${unit}</td>${before === null ? null : markup`<td class="number">${formatFixed(before, decimals)}</td>`}<td class="number">${formatFixed(now, decimals)}${now < 0 && unit === 'kN' ? markup` <strong class="flag">pull</strong>` : null}</td>${change === null ? null : markup`<td class="number">${formatDifference(change, decimals)}</td><td class="number">${share === null ? '–' : formatDifference(share, 0)}</td>`}${released === null ? null : markup`<td class="number">${formatFixed(released, decimals)}</td>`}</tr>`;
}

function comparisonTable(
  caption: string,
  first: string,
  rows: readonly Markup[],
  compared: boolean,
  released: boolean,
  subject: string,
): Markup {
  const head = markup`<tr><th scope="col">${first}</th><th scope="col">Unit</th>${compared ? markup`<th scope="col" class="number">Intact</th><th scope="col" class="number">This case</th><th scope="col" class="number">Change</th><th scope="col" class="number">Change (%)</th>` : markup`<th scope="col" class="number">Value</th>`}${released ? markup`<th scope="col" class="number">Released</th>` : null}</tr>`;
  return scrollBox(
    `${caption}: ${subject}`,
    markup`<table><caption>${caption}</caption><thead>${head}</thead><tbody>${rows}</tbody></table>`,
  );
}
