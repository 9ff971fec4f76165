import type { AssessmentModel } from '../../scenarios/assessment-model.js';
import type { CheckId } from '../../scenarios/result.js';
import type { DeckEndResponse } from '../../solver/deck-ends/deck-end-train.js';
import { type Objective, ObjectiveIndex } from '../../solver/peaks/objective.js';
import type { Peaks } from '../../solver/peaks/peaks.js';
import type { MovingTrain } from '../../solver/viaduct/model.js';
import { type CheckInput, type Finding, worse } from '../checks/check.js';
import { checks } from '../checks/list.js';
import type { BoundVariant } from './bound-variant.js';
import type { CaseState } from './case-state.js';
import { deckEndQuantities, prepareDeckEnds } from './deck-end-outcome.js';
import type { LevelDefect } from './level-defect.js';
import { type SweptQuantities, sweptObjectives, sweptQuantities } from './swept-quantities.js';
import { trackPassages } from './track-passages.js';

/** One speed of a sweep: the worst of every check over bounds and directions, and the nominal quantities. */
export interface SpeedSample {
  readonly speedKmh: number;
  readonly findings: ReadonlyMap<CheckId, Finding>;
  readonly quantities: SweptQuantities;
  /** Fastenings at the deck ends, nominal; empty where the fastening is linear. */
  readonly deckEnds: readonly DeckEndResponse[];
}

/** What a check uses of its limit at the speed of a sample; 0 where it found nothing, or for no check. */
export const utilisationOf = ({ findings }: SpeedSample, check: CheckId | null): number =>
  (check && findings.get(check)?.utilisation) || 0;

/** What has to be supplied before a check can be judged, by check. */
export type MissingEvidence = Map<CheckId, Set<string>>;

/** A train ready to run over one case. */
export interface PreparedTrain {
  /** Judges one speed; 0 is the quasi-static passage, which is always there. Null where none could be computed, which is then missing. */
  readonly sampleAt: (speedKmh: number) => SpeedSample | null;
  /** Peaks of every row at one speed, nominal properties, both directions and all tracks together. */
  readonly peaksAt: (speedKmh: number) => Peaks;
}

/** The level of the damaged track, the deck being that of one bound variant; null where it has not moved from any intact alignment. */
export type LevelOf = (variant: BoundVariant) => LevelDefect | null;

/**
 * Prepares the passages of one train over one case: force tables of both directions on every track for every bound variant.
 *
 * @param levelOf of the track under this train
 * @param missing collects what has to be supplied before a check can be judged
 */
export function prepareTrain(
  model: AssessmentModel,
  state: CaseState,
  train: MovingTrain,
  levelOf: LevelOf,
  missing: MissingEvidence,
): PreparedTrain {
  const prepared = state.variants.map((variant) => {
    const dynamics = variant.dynamics();
    const objectives = new ObjectiveIndex(objectivesOf(model, state, variant), dynamics.rows.length);
    const passages = trackPassages(dynamics, train, model.meeting, objectives);
    const deckEnds = passages.tracks.map(({ loaded, standing }) =>
      prepareDeckEnds(state, variant, loaded, train, standing),
    );
    return { variant, dynamics, passages, deckEnds, level: levelOf(variant) };
  });
  return {
    sampleAt(speedKmh) {
      const findings = new Map<CheckId, Finding>();
      const seen = prepared.map((one): Seen => {
        const peaks = one.passages.peaksAt(speedKmh);
        const deckEnds = one.deckEnds.flatMap((onTrack) => onTrack(peaks));
        return { peaks, ride: null, deckEnds, level: one.level };
      });
      prepared.forEach(({ variant }, index) => {
        judgeAll(model, state, variant, seen[index]!, speedKmh, findings, missing);
      });
      const { peaks, deckEnds } = seen[0]!;
      const quantities = {
        ...sweptQuantities(prepared[0]!.dynamics.rows, peaks),
        ...deckEndQuantities(model, deckEnds),
      };
      return { speedKmh, findings, quantities, deckEnds };
    },
    peaksAt: (speedKmh) => prepared[0]!.passages.allPeaksAt(speedKmh),
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

/** What one passage has to show to the checks. */
export type Seen = Pick<CheckInput, 'peaks' | 'ride' | 'deckEnds' | 'level'>;

/** Runs every check on what one passage has shown and keeps the worst findings. */
export function judgeAll(
  model: AssessmentModel,
  state: CaseState,
  variant: BoundVariant,
  seen: Seen,
  speedKmh: number,
  findings: Map<CheckId, Finding>,
  missing: MissingEvidence,
  leftOut: CheckId | null = null,
): void {
  const { rows } = variant.dynamics();
  for (const check of checks) {
    if (check.id === leftOut) continue;
    const limit = model.limits.get(check.id) ?? null;
    const finding = check.judge({ model, state, variant, rows, ...seen, speedKmh, limit }, (what) => {
      missing.set(check.id, (missing.get(check.id) ?? new Set()).add(what));
    });
    const worst = worse(findings.get(check.id) ?? null, finding);
    if (worst) findings.set(check.id, worst);
  }
}
