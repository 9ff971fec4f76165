import type { Recommendation, Result } from '../../../scenarios/result.js';
import { damageMatrixChart, matrixColumns } from '../charts/damage-matrix-chart.js';
import { recommendationGovernedBy } from '../governing-words.js';
import { type Markup, markup } from '../markup.js';
import { formatSpeed } from '../number-format.js';
import { unbroken } from '../unbroken.js';
import { reservation, reservationMeaning, speedWords, statusWording, stretchWords } from '../wording.js';
import { caseHeading } from './case-heading.js';
import { scrollBox } from './scroll-box.js';
import { statusBadge } from './status-cell.js';

/** What the operator came for: one row per damage case and class, then the picture over all trains. */
export function recommendationSection(result: Result): Markup {
  const cases = new Map(
    result.cases.map((one, index) => [one.damage_case, { one, id: `case-${index + 1}` }]),
  );
  const rows = result.recommendations.map((row, index) => {
    const known = cases.get(row.damage_case);
    const trains = known?.one.trains.filter((train) => train.class === row.class) ?? [];
    const previous = result.recommendations[index - 1];
    return markup`<tr class="${previous?.damage_case === row.damage_case ? 'same' : 'first'}">
<th scope="row" data-label="Damage case" class="name">${known === undefined ? row.damage_case : markup`<a href="#${known.id}">${caseHeading(known.one)}</a>`}</th>
<td data-label="Class" class="name"><div>${row.class}</div></td>
<td data-label="Status"><div>${statusBadge(row.status, reservation(row.status, trains))}</div></td>
<td data-label="Permitted speed" class="speed"><div>${unbroken(speedWords(row.status, row.permitted_speed_kmh))}${comfort(row)}</div></td>
<td data-label="Governed by" class="name"><div>${recommendationGovernedBy(row, result) ?? '–'}${row.governing === null || row.governing_train === null ? null : markup`<br><span class="quiet">${row.governing_train}</span>`}</div></td>
<td data-label="Reason" class="reason"><div>${unbroken(row.reason)}</div></td>
<td data-label="Stretch"><div>${stretch(row)}</div></td>
</tr>`;
  });
  return markup`<section aria-labelledby="recommendation">
<h2 id="recommendation">Recommendation</h2>
<p>Line speed ${formatSpeed(result.line_speed_kmh)} km/h. The lowest speed over the trains of a class is given. A class marked “keep closed” has not been cleared: evidence is missing.${result.speeds_hold === undefined ? null : ` ${result.speeds_hold}`}</p>
<div class="scroll" tabindex="0" role="region" aria-label="Recommendation table"><table class="restack"><thead><tr><th scope="col">Damage case</th><th scope="col">Class</th><th scope="col">Status</th><th scope="col">Permitted speed</th><th scope="col">Governed by</th><th scope="col">Reason</th><th scope="col">Stretch</th></tr></thead>
<tbody>${rows}</tbody></table></div>
<h3 id="matrix">Every damage case and train</h3>
${matrix(result)}
<ul class="key">${(['line-speed', 'restricted', 'closed', 'undetermined'] as const).map((status) => markup`<li>${statusBadge(status, null)} <span class="quiet">${statusWording[status].meaning}</span></li>`)}${reservedKey(result)}</ul>
</section>`;
}

/** One picture, or several where one would be too wide to be read on paper. */
function matrix(result: Result): readonly Markup[] {
  const groups = matrixColumns(result);
  return groups.map((trains, index) => {
    const part = groups.length === 1 ? '' : `, part ${index + 1} of ${groups.length}`;
    const id = index === 0 ? 'matrix-picture' : `matrix-picture-${index + 1}`;
    return scrollBox(
      `Picture: permitted speed for every damage case and train${part}`,
      damageMatrixChart(id, result, trains),
    );
  });
}

/** Explains the reservation where the report makes one. */
function reservedKey(result: Result): readonly Markup[] {
  const made = result.cases.flatMap(({ trains }) =>
    trains.flatMap((train) => reservation(train.status, [train]) ?? []),
  );
  return [...new Set(made)].map(
    (words) =>
      markup`<li><span class="status reserved">${words}</span> <span class="quiet">${reservationMeaning}</span></li>`,
  );
}

function stretch(row: Recommendation): Markup {
  const [from, to] = stretchWords(row);
  return markup`<span class="whole">${from}</span> <span class="whole">${to}</span>`;
}

function comfort(row: Recommendation): Markup | null {
  const slower =
    row.comfort_speed_kmh !== null &&
    (row.permitted_speed_kmh === null || row.comfort_speed_kmh < row.permitted_speed_kmh);
  if (!slower || row.status === 'closed' || row.status === 'undetermined') return null;
  return markup`<br><span class="quiet whole">comfort ${formatSpeed(row.comfort_speed_kmh)} km/h</span>`;
}
