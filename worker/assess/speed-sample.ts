import type { AssessmentModel } from '../../scenarios/assessment-model.js';
import type { CheckId } from '../../scenarios/result.js';
import type { MovingTrain } from '../../solver/model.js';
import type { Objective } from '../../solver/objective.js';
import { type Peaks, quasiStaticPeaks, runPassage } from '../../solver/passage.js';
import { buildTrainTables } from '../../solver/train-tables.js';
import { type Finding, worse } from '../checks/check.js';
import { checks } from '../checks/list.js';
import type { BoundVariant, CaseState } from './case-state.js';
import type { RideOutcome } from './ride-outcome.js';
import { type SweptQuantities, sweptObjectives, sweptQuantities } from './swept-quantities.js';

/** One speed of a sweep: the worst of every check over bounds and directions, and the nominal quantities. */
export interface SpeedSample {
  readonly speedKmh: number;
  readonly findings: ReadonlyMap<CheckId, Finding>;
  readonly quantities: SweptQuantities;
}

/** What has to be supplied before a check can be judged, by check. */
export type MissingEvidence = Map<CheckId, Set<string>>;

/** A train ready to run over one case. */
export interface PreparedTrain {
  /** Judges one speed; 0 is the quasi-static passage. */
  readonly sampleAt: (speedKmh: number) => SpeedSample;
  /** Peaks of every row at one speed, nominal properties, both directions together. */
  readonly peaksAt: (speedKmh: number) => Peaks;
}

/**
 * Prepares the passages of one train over one case: force tables of both directions for every bound variant.
 *
 * @param missing collects what has to be supplied before a check can be judged
 */
export function prepareTrain(
  model: AssessmentModel,
  state: CaseState,
  train: MovingTrain,
  missing: MissingEvidence,
): PreparedTrain {
  const prepared = state.variants.map((variant) => {
    const dynamics = variant.dynamics();
    const forward = buildTrainTables(dynamics, train, 'forward');
    const reverse = buildTrainTables(dynamics, train, 'reverse', forward);
    const objectives = objectivesOf(model, state, variant);
    return { variant, dynamics, forward, reverse, objectives };
  });
  const run = (
    { dynamics, forward, reverse }: (typeof prepared)[number],
    speedKmh: number,
    objectives?: Objective[],
  ) => {
    if (speedKmh === 0)
      return together(quasiStaticPeaks(dynamics, forward), quasiStaticPeaks(dynamics, reverse));
    const first = runPassage(dynamics, forward, speedKmh / 3.6, objectives ? { objectives } : {});
    // What one direction has reached, the other need not look for.
    const second = objectives?.map((objective) => ({ ...objective, atLeast: reached(objective, first) }));
    return together(
      first,
      runPassage(dynamics, reverse, speedKmh / 3.6, second ? { objectives: second } : {}),
    );
  };
  return {
    sampleAt(speedKmh) {
      const findings = new Map<CheckId, Finding>();
      const peaks = prepared.map((one) => run(one, speedKmh, one.objectives));
      prepared.forEach(({ variant }, index) => {
        judgeAll(model, state, variant, peaks[index]!, speedKmh, findings, missing);
      });
      return { speedKmh, findings, quantities: sweptQuantities(prepared[0]!.dynamics.rows, peaks[0]!) };
    },
    peaksAt: (speedKmh) => run(prepared[0]!, speedKmh),
  };
}

/** What a passage has to find: the swept quantities and what each check looks at. */
export function objectivesOf(model: AssessmentModel, state: CaseState, variant: BoundVariant): Objective[] {
  const { rows } = variant.dynamics();
  return [
    ...sweptObjectives(rows),
    ...checks.flatMap((check) => check.objectives({ model, state, variant, rows })),
  ].filter((objective) => objective !== null);
}

/** Worst value of an objective in a set of peaks. */
export function reached({ rows, weights, offsets }: Objective, peaks: Peaks): number {
  let most = Number.NEGATIVE_INFINITY;
  rows.forEach((row, i) => {
    const value = weights[i]! > 0 ? peaks.largest[row]! : peaks.smallest[row]!;
    most = Math.max(most, offsets[i]! + weights[i]! * value);
  });
  return most;
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
  ride: RideOutcome | null = null,
): void {
  const { rows } = variant.dynamics();
  for (const check of checks) {
    if (!applicable(check.id)) continue;
    const limit = model.limits.get(check.id) ?? null;
    const finding = check.judge({ model, state, variant, rows, peaks, ride, speedKmh, limit }, (what) => {
      missing.set(check.id, (missing.get(check.id) ?? new Set()).add(what));
    });
    const worst = worse(findings.get(check.id) ?? null, finding);
    if (worst) findings.set(check.id, worst);
  }
}

/** The worse of two passages, row by row. */
export function together(a: Peaks, b: Peaks): Peaks {
  return {
    largest: a.largest.map((value, row) => Math.max(value, b.largest[row]!)),
    smallest: a.smallest.map((value, row) => Math.min(value, b.smallest[row]!)),
  };
}
