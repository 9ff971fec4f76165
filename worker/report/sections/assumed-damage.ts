import type { Result } from '../../../scenarios/result.js';
import { effectWords } from '../effect-words.js';
import { type Markup, markup, nothing } from '../markup.js';
import type { ScenarioFacts } from '../scenario-facts.js';
import { unbroken } from '../unbroken.js';
import { caseHeading } from './case-heading.js';

/** For paper, where cases are folded away: what each is taken to have suffered, so that a reader can tell which of them has happened. */
export function assumedDamage(result: Result, facts: ScenarioFacts): Markup {
  const rows = result.cases.flatMap((one) => {
    const effects = facts.effects.get(one.damage_case) ?? [];
    if (effects.length === 0) return [];
    const words = effects.map((effect) => unbroken(effectWords(effect))).join(' ');
    return markup`<div><dt>${caseHeading(one)}</dt><dd>${words}</dd></div>`;
  });
  return rows.length === 0 ? nothing : markup`<dl class="on-paper facts">${rows}</dl>`;
}
