import type { AssessmentModel, Limit } from '../scenarios/assessment-model.js';
import type { Scenario } from '../scenarios/scenario.js';
import { limitsOf } from '../scenarios/translation/limits.js';
import { checkName, listed } from './assess/wording.js';
import { limitAt } from './checks/check.js';

/**
 * Where a scenario allows more than its named limit set does: one caution that names each check of safety with both limits, at the
 * lowest speed class at which they differ; none where every limit of its own is as strict. Beyond the last step of a limit nothing is
 * allowed. Deflections are compared for the span of which most more is allowed.
 */
export function mildLimitCautions(scenario: Scenario, model: AssessmentModel): string[] {
  const { set } = scenario.limits;
  const named = limitsOf({ ...scenario, limits: { set, overrides: {} } });
  const spans = scenario.deck.spans.map(({ length_m }) => length_m);
  const fastest = model.speedsKmh.at(-1)!;
  const milder = [...model.limits.values()].flatMap((own) => {
    const usual = named.get(own.check);
    return usual && own.kind === 'safety' ? milderBy(own, usual, spans, fastest) : [];
  });
  return milder.length === 0
    ? []
    : [
        `Limits milder than those of the set ${set} were given, and speeds rest on them: ${listed(milder)}. Whoever gave them answers for them.`,
      ];
}

/** Empty: nowhere milder. */
function milderBy(own: Limit, usual: Limit, spans: readonly number[], fastest: number): string[] {
  const ends = [...own.steps, ...usual.steps].map(({ upToKmh }) => Math.min(upToKmh, fastest));
  for (const speed of ends.sort((a, b) => a - b)) {
    const gains = spans.map((span) => allowed(own, speed, span) - allowed(usual, speed, span));
    const span = spans[gains.indexOf(Math.max(...gains))]!;
    // The same limit, once in mm and once as a share of the span, differs by rounding.
    if (allowed(own, speed, span) <= allowed(usual, speed, span) * (1 + 1e-9)) continue;
    const [given, otherwise] = [own, usual].map((limit) => inWords(allowed(limit, speed, span)));
    const unit = own.unit === '-' ? '' : ` ${own.unit}`;
    return [`${checkName(own.check)} ${given} instead of ${otherwise}${unit}`];
  }
  return [];
}

/** In the check's own unit; 0 where nothing is permitted. */
function allowed(limit: Limit, speedKmh: number, span: number): number {
  const value = limitAt(limit, speedKmh);
  if (value === null) return 0;
  return limit.perSpan ? (1e3 * span) / value : value;
}

const inWords = (value: number): string => (value === 0 ? 'none' : String(Number(value.toPrecision(3))));
