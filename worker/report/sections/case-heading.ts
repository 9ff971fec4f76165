import type { CaseResult } from '../../../scenarios/result.js';
import { type Markup, markup } from '../markup.js';
import { caseTitle } from '../wording.js';

/** A damage case where it heads a row or a section: its id, which no other case has, and beside it the title. */
export function caseHeading(damageCase: CaseResult): Markup {
  const title = caseTitle(damageCase);
  return markup`<bdi>${damageCase.damage_case}</bdi>${title === null ? null : markup` <bdi class="quiet">${title}</bdi>`}`;
}
