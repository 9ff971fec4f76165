import type { AssessmentModel } from '../../scenarios/assessment-model.js';
import type { CheckId } from '../../scenarios/result.js';
import type { MovingTrain } from '../../solver/model.js';
import { type Peaks, quasiStaticPeaks, runPassage } from '../../solver/passage.js';
import { buildTrainTables } from '../../solver/train-tables.js';
import { type Finding, worse } from '../checks/check.js';
import { checks } from '../checks/list.js';
import type { BoundVariant, CaseState } from './case-state.js';
import { type SweptQuantities, sweptQuantities } from './swept-quantities.js';

/** One speed of a sweep: the worst of every check over bounds and directions, and the nominal quantities. */
export interface SpeedSample {
  readonly speedKmh: number;
  readonly findings: ReadonlyMap<CheckId, Finding>;
  readonly quantities: SweptQuantities;
  /** Nominal peaks, both directions together; one entry per row of the nominal model. */
  readonly peaks: Peaks;
}

/** What has to be supplied before a check can be judged, by check. */
export type MissingEvidence = Map<CheckId, Set<string>>;

export type Evaluate = (speedKmh: number) => SpeedSample;

/**
 * Prepares the passages of one train over one case: force tables of both directions for every bound variant.
 *
 * @param missing collects what has to be supplied before a check can be judged
 * @returns a function of speed; speed 0 is the quasi-static passage
 */
export function prepareTrain(
  model: AssessmentModel,
  state: CaseState,
  train: MovingTrain,
  missing: MissingEvidence,
): Evaluate {
  const prepared = state.variants.map((variant) => {
    const dynamics = variant.dynamics();
    return {
      variant,
      dynamics,
      forward: buildTrainTables(dynamics, train, 'forward'),
      reverse: buildTrainTables(dynamics, train, 'reverse'),
    };
  });
  return (speedKmh) => {
    let nominal: Peaks | null = null;
    const findings = new Map<CheckId, Finding>();
    for (const { variant, dynamics, forward, reverse } of prepared) {
      const speed = speedKmh / 3.6;
      const pass = (tables: typeof forward) =>
        speed > 0 ? runPassage(dynamics, tables, speed) : quasiStaticPeaks(dynamics, tables);
      const peaks = together(pass(forward), pass(reverse));
      nominal ??= peaks;
      judgeAll(model, state, variant, peaks, speedKmh, findings, missing);
    }
    const rows = prepared[0]!.dynamics.rows;
    return { speedKmh, findings, quantities: sweptQuantities(rows, nominal!), peaks: nominal! };
  };
}

/** Runs every check on one set of peaks and keeps the worst findings. */
export function judgeAll(
  model: AssessmentModel,
  state: CaseState,
  variant: BoundVariant,
  peaks: Peaks,
  speedKmh: number,
  findings: Map<CheckId, Finding>,
  missing: MissingEvidence,
  applicable: (id: CheckId) => boolean = () => true,
): void {
  const { rows } = variant.dynamics();
  for (const check of checks) {
    if (!applicable(check.id)) continue;
    const limit = model.limits.get(check.id) ?? null;
    const finding = check.judge({ model, state, variant, rows, peaks, speedKmh, limit }, (what) => {
      missing.set(check.id, (missing.get(check.id) ?? new Set()).add(what));
    });
    const worst = worse(findings.get(check.id) ?? null, finding);
    if (worst) findings.set(check.id, worst);
  }
}

function together(a: Peaks, b: Peaks): Peaks {
  return {
    largest: a.largest.map((value, row) => Math.max(value, b.largest[row]!)),
    smallest: a.smallest.map((value, row) => Math.min(value, b.smallest[row]!)),
  };
}
