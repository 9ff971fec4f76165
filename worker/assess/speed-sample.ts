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

/** One train over one case: what preparing its passages and judging them share. */
export interface TrainOverCase {
  readonly model: AssessmentModel;
  readonly state: CaseState;
  /** Of the track under this train. */
  readonly levelOf: LevelOf;
  /** Collects what has to be supplied before a check can be judged. */
  readonly missing: MissingEvidence;
}

/** Prepares the passages of one train over one case: force tables of both directions on every track for every bound variant. */
export function prepareTrain(over: TrainOverCase, train: MovingTrain): PreparedTrain {
  const { model, state, levelOf } = over;
  const prepared = state.variants.map((variant) => {
    const dynamics = variant.dynamics();
    const objectives = new ObjectiveIndex(objectivesOf(model, state, variant), dynamics.rows.length);
    const passages = trackPassages(dynamics, train, model.meeting, objectives);
    const deckEnds = passages.tracks.map(({ loaded, standing }) =>
      prepareDeckEnds(state, variant, loaded, train, standing),
    );
    return { dynamics, passages, deckEnds, level: levelOf(variant) };
  });
  return {
    sampleAt(speedKmh) {
      const seen = prepared.map((one): Seen => {
        const peaks = one.passages.peaksAt(speedKmh);
        const deckEnds = one.deckEnds.flatMap((onTrack) => onTrack(peaks));
        return { peaks, ride: null, deckEnds, level: one.level };
      });
      const findings = judgeAll(over, seen, speedKmh);
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

/** What the passages of one bound variant have to show to the checks. */
export type Seen = Pick<CheckInput, 'peaks' | 'ride' | 'deckEnds' | 'level'>;

/**
 * Runs every check on what the passages at one speed have shown and keeps the worst findings.
 *
 * @param seen per bound variant of the state
 * @param leftOut the check that this train says nothing about
 */
export function judgeAll(
  { model, state, missing }: TrainOverCase,
  seen: readonly Seen[],
  speedKmh: number,
  leftOut: CheckId | null = null,
): Map<CheckId, Finding> {
  const findings = new Map<CheckId, Finding>();
  state.variants.forEach((variant, index) => {
    const { rows } = variant.dynamics();
    for (const check of checks) {
      if (check.id === leftOut) continue;
      const limit = model.limits.get(check.id) ?? null;
      const input = { model, state, variant, rows, ...seen[index]!, speedKmh, limit };
      const finding = check.judge(input, (what) => {
        missing.set(check.id, (missing.get(check.id) ?? new Set()).add(what));
      });
      const worst = worse(findings.get(check.id) ?? null, finding);
      if (worst) findings.set(check.id, worst);
    }
  });
  return findings;
}
