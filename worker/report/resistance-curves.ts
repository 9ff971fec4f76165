import { scenarioSchema } from '../../scenarios/scenario.js';
import { intactResistance, resistanceInCase } from '../../scenarios/translation/resistance.js';
import type { LineSeries } from './charts/line-chart.js';
import type { SupportLine } from './scenario-facts.js';

/**
 * Bending resistances along the deck in one damage case as curves in kNm: sagging positive, hogging negative. A span whose
 * resistance is not known in this state leaves a gap; without any, or when the document is not a valid scenario, there is
 * no curve.
 */
export function resistanceCurves(
  document: unknown,
  damageCase: string,
  supports: readonly SupportLine[],
): readonly LineSeries[] {
  const parsed = scenarioSchema.safeParse(document);
  if (!parsed.success) return [];
  const intact = intactResistance(parsed.data);
  const damaged = parsed.data.damage_cases.find((one) => one.id === damageCase);
  const resistance = damaged === undefined ? intact : resistanceInCase(parsed.data, damaged, intact);
  if (resistance === null) return [];
  const curve = (label: string, read: (span: number) => number | null | undefined, sign: 1 | -1) => {
    const x: number[] = [];
    const y: number[] = [];
    for (let span = 0; span + 1 < supports.length; span++) {
      const value = read(span);
      const kNm = value === null || value === undefined ? Number.NaN : (sign * value) / 1e3;
      x.push(supports[span]?.xM ?? 0, supports[span + 1]?.xM ?? 0);
      y.push(kNm, kNm);
    }
    return { label, x, y, role: 'limit' } as const;
  };
  const both = [
    curve('bending resistance', (span) => resistance.spans[span]?.sagging, 1),
    curve('bending resistance', (span) => resistance.spans[span]?.hogging, -1),
  ];
  return both.filter((one) => one.y.some(Number.isFinite));
}
