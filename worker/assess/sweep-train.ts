import type { AssessmentModel } from '../../scenarios/assessment-model.js';
import type { Peaks } from '../../solver/peaks/peaks.js';
import { staticLoadPeaks } from '../../solver/statics/static-load-model.js';
import type { MovingTrain } from '../../solver/viaduct/model.js';
import { allPass, nearnessOf } from '../checks/check.js';
import type { CaseState } from './case-state.js';
import { withoutComfort } from './comfort.js';
import { lastAssessedKmh } from './last-assessed.js';
import { levelDefect, type SunkRail } from './level-defect.js';
import { modeLifts } from './mode-lifts.js';
import { type SweptPoint, speedsToAdd } from './refine-sweep.js';
import { ResonancePlan } from './resonance-plan.js';
import { leastDampingRatio, type ResonanceSpeed, resonanceSpeeds } from './resonance-speeds.js';
import { affordableSpeeds, type SearchBudget } from './search-budget.js';
import { bySpeed } from './speed-order.js';
import {
  judgeAll,
  type LevelOf,
  type MissingEvidence,
  type PreparedTrain,
  prepareTrain,
  type SpeedSample,
  type TrainOverCase,
} from './speed-sample.js';
import { sweptQuantities } from './swept-quantities.js';
import { onAllTracks, perTrack } from './track-passages.js';
import { prepareVehicleTrain } from './vehicle-sample.js';

/** All speeds of one train over one case, ascending, the quasi-static passage (speed 0) first. */
export interface TrainSweep {
  readonly samples: readonly SpeedSample[];
  /** km/h, where peaks and crossings were no longer searched for to the end; infinite where they were everywhere. */
  readonly givenUpFromKmh: number;
  readonly missing: MissingEvidence;
  /** The strongest of the nominal model. */
  readonly resonances: readonly ResonanceSpeed[];
  /** Peaks of every row of the nominal model at one speed. */
  readonly peaksAt: (speedKmh: number) => Peaks;
}

const slowestKmh = 5;
/** Down to here resonances are looked for, wherever the grid begins. */
const slowestRhythmKmh = 10;
/** A resonance that adds less than this share of the limit of the deck's acceleration can only decide what hangs by as little anyway. */
const negligibleShare = 0.02;
/** Resonances below this share of the strongest are not named in the result. */
const shareNamed = 0.1;
/** m/s², whatever the limit: on a deck of 20 t/m, a fiftieth of what a loaded train weighs. */
const negligibleAcceleration = 0.1;
/** m: a track that sinks so far by its own weight fails any limit that can be set; how far wheels press it down is not worth finding. */
const hopeless = 0.2;

export function sweepTrain(
  model: AssessmentModel,
  state: CaseState,
  entry: AssessmentModel['trains'][number],
  budget: SearchBudget,
  onProgress: (fraction: number) => void,
): TrainSweep {
  const missing: MissingEvidence = new Map();
  const over = { model, state, levelOf: levelUnder(state, entry), missing };
  const prepared =
    entry.kind === 'moving'
      ? entry.consist
        ? prepareVehicleTrain(over, entry.consist, entry.train)
        : prepareTrain(over, entry.train)
      : prepareStaticModel(over, entry.model);
  const to = model.speedsKmh[model.speedsKmh.length - 1]!;
  const resonances = entry.kind === 'moving' ? predictedResonances(model, state, entry.train) : [];
  const dampingRatio = Math.min(...state.variants.map((variant) => leastDampingRatio(variant.dynamics())));
  const samples = new Map<number, SpeedSample>();
  const asked = new Set<number>();
  // A limit that changes with speed is met exactly at the end of each of its steps.
  const steps = [...model.limits.values()].flatMap((limit) => limit.steps.map((step) => step.upToKmh));
  const wanted = new Set([
    0,
    ...model.speedsKmh,
    lastAssessedKmh(model, entry),
    ...steps.filter((speed) => speed > 0 && speed < to),
  ]);
  const first = model.speedsKmh[0]!;
  const plan = new ResonancePlan(resonances.flat(), first, dampingRatio);
  plan.addStrongest(wanted);
  let queue: readonly number[] = [...wanted].sort((a, b) => a - b);
  const gridSpeeds = queue.length;
  let lowestFailureKmh = Number.POSITIVE_INFINITY;
  let givenUpFromKmh = Number.POSITIVE_INFINITY;
  for (let round = 0; queue.length > 0; round++) {
    for (const speedKmh of queue) {
      const sample = prepared.sampleAt(speedKmh);
      if (sample) {
        samples.set(speedKmh, sample);
        const safe = allPass(withoutComfort(model, sample).findings.values());
        if (!safe) lowestFailureKmh = Math.min(lowestFailureKmh, speedKmh);
      }
      asked.add(speedKmh);
      // The refinement is of unknown length; the first round is about half of the work.
      onProgress(round === 0 ? (0.5 * asked.size) / queue.length : 1 - 0.5 ** (round + 1));
    }
    const sorted = inOrder(samples);
    const points = sorted.map(sweptPoint);
    // Nothing between the grid speeds could open a line that is closed at walking pace.
    if (sorted[0]?.speedKmh === lowestFailureKmh) break;
    const added = [...speedsToAdd(points, { dampingRatio }), ...plan.deciding(points)];
    const sought = [...new Set(added)].filter((speed) => speed >= slowestKmh && !asked.has(speed));
    sought.sort((a, b) => a - b);
    const affordable = affordableSpeeds(sought, asked.size - gridSpeeds, lowestFailureKmh, budget);
    queue = affordable.speedsKmh;
    givenUpFromKmh = Math.min(givenUpFromKmh, affordable.givenUpFromKmh);
  }
  onProgress(1);
  const named = strongestOf(resonances[0] ?? []);
  return {
    samples: inOrder(samples),
    givenUpFromKmh,
    missing,
    resonances: named,
    peaksAt: prepared.peaksAt,
  };
}

/** Of each bound, the nominal one first; below the first speed of the grid as well, where nothing else is looked at but standstill. */
function predictedResonances(
  model: AssessmentModel,
  state: CaseState,
  train: MovingTrain,
): readonly ResonanceSpeed[][] {
  const from = Math.min(slowestRhythmKmh, model.speedsKmh[0]!);
  const to = model.speedsKmh[model.speedsKmh.length - 1]!;
  const negligible = Math.min(negligibleAcceleration, negligibleShare * accelerationLimit(model));
  return state.variants.map((variant) =>
    resonanceSpeeds(variant.dynamics(), train, from, to, negligible, modeLifts(model, state, variant)),
  );
}

/** Those that stand out in a picture. */
function strongestOf(lines: readonly ResonanceSpeed[]): readonly ResonanceSpeed[] {
  const most = Math.max(0, ...lines.map(({ acceleration }) => acceleration));
  return lines.filter(({ acceleration }) => acceleration >= shareNamed * most);
}

/** m/s²; infinite where there is none. */
function accelerationLimit({ limits }: AssessmentModel): number {
  return Math.min(...(limits.get('deck-acceleration')?.steps.map(({ value }) => value) ?? []));
}

/** The track sinks alike under all bounds, which are of the deck. */
function levelUnder({ sunkTrack }: CaseState, entry: AssessmentModel['trains'][number]): LevelOf {
  let underTrain: SunkRail | null = null;
  return ({ change }) => {
    if (!change) return null;
    if (!sunkTrack) return levelDefect(change.x, change.underTracks);
    const unloaded = levelDefect(change.x, change.underTracks, sunkTrack.unloaded);
    if (unloaded.departure > hopeless) return unloaded;
    underTrain ??= sunkTrack.under(entry);
    return levelDefect(change.x, change.underTracks, underTrain);
  };
}

function inOrder(samples: ReadonlyMap<number, SpeedSample>): SpeedSample[] {
  return [...samples.values()].sort(bySpeed);
}

/** What refinement watches: how near every check comes to its limit. */
function sweptPoint({ speedKmh, findings }: SpeedSample): SweptPoint {
  const nearness = new Map<string, number>();
  for (const [id, finding] of findings) nearness.set(id, nearnessOf(finding));
  return { speedKmh, nearness };
}

/** A static load model has the same effect at every speed; only limits that depend on speed tell the speeds apart. */
function prepareStaticModel(
  over: TrainOverCase,
  load: Extract<AssessmentModel['trains'][number], { kind: 'static' }>['model'],
): PreparedTrain {
  const { model, state, levelOf } = over;
  const peaks = state.variants.map((variant) =>
    onAllTracks(
      model.meeting,
      perTrack(variant.dynamics(), (loaded) => staticLoadPeaks(loaded, load)),
    ),
  );
  const seen = state.variants.map((variant, index) => ({
    peaks: peaks[index]!,
    ride: null,
    deckEnds: [],
    level: levelOf(variant),
  }));
  const rows = state.variants[0]!.dynamics().rows;
  const {
    deck_acceleration_m_per_s2: _deck,
    slab_acceleration_m_per_s2: _slab,
    ...quantities
  } = sweptQuantities(rows, peaks[0]!);
  const sampleAt = (speedKmh: number): SpeedSample => {
    const findings = judgeAll(over, seen, speedKmh, 'deck-acceleration');
    return { speedKmh, findings, quantities, deckEnds: [] };
  };
  return { sampleAt, peaksAt: () => peaks[0]! };
}
