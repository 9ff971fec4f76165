import type { AssessmentModel } from '../../scenarios/assessment-model.js';
import type { Check, CheckId, Status } from '../../scenarios/result.js';
import type { Finding } from '../checks/check.js';
import { checks as everyCheck } from '../checks/list.js';
import { isStrengthCompared } from '../checks/strength-checks.js';
import type { CaseState } from './case-state.js';
import { failingBeside } from './failing-beside.js';
import { failureOf } from './failure-words.js';
import { lastAssessedKmh } from './last-assessed.js';
import type { PermittedSpeed } from './permitted-speed.js';
import { rounded } from './rounded-speed.js';
import { type SpeedSample, utilisationOf } from './speed-sample.js';
import type { TrainSweep } from './sweep-train.js';
import { layerNames, uncheckedLayers } from './unchecked-track.js';
import { checkName, firstOf, judgedAsBuilt, uncheckedStrength } from './wording.js';

/** What was decided for one train on one case, and from what. */
export interface Judgement {
  readonly model: AssessmentModel;
  readonly entry: AssessmentModel['trains'][number];
  readonly state: CaseState;
  readonly sweep: TrainSweep;
  readonly decision: PermittedSpeed;
  readonly status: Status;
  readonly governing: CheckId | null;
  /** Evidence that was not given or could not be computed, most urgent first. */
  readonly missing: readonly string[];
  /** As the result lists them. */
  readonly checks: readonly Check[];
}

/** The one check whose evidence is computed, not supplied, and missing only where that failed. */
export const uncomputed: CheckId = 'wheel-unloading';

/** One sentence that an operator understands, and after it what else fails at the same speed and what was not checked. */
export function reasonOf(judgement: Judgement): string {
  const { sweep, decision, status, governing, missing } = judgement;
  if (status === 'undetermined')
    return `Keep the line closed until an engineer supplies ${firstOf(missing)}.`;
  const first = sweep.samples.find((sample) => sample.speedKmh === decision.firstFailureKmh);
  const finding = governing ? first?.findings.get(governing) : undefined;
  const untested = untestedBeside(judgement);
  if (finding && governing && first)
    return (
      failureSentence(judgement, finding, governing, first.speedKmh) +
      besideSentence(judgement, governing, first) +
      unsearched(sweep) +
      untested
    );
  if (decision.limitedBySweep) return endSentence(judgement) + untested;
  const { overspeedFactor } = judgement.model;
  return `Every check made passes up to ${overspeedFactor} times line speed${closest(sweep, governing)}.${untested}`;
}

function failureSentence(
  { model, decision }: Judgement,
  finding: Finding,
  governing: CheckId,
  speedKmh: number,
): string {
  const name = checkName(governing);
  const unit = everyCheck.find((check) => check.id === governing)?.unit ?? '';
  const { limitsEndKmh, words } = failureOf(finding, unit, model.limits.get(governing), speedKmh);
  if (decision.permittedKmh === null) {
    const slow = speedKmh === 0 ? 'even at walking pace' : `already at ${quoted(speedKmh)} km/h`;
    const what =
      limitsEndKmh !== null
        ? `${name} fails ${slow}, where its limits have ended`
        : `${name} ${words} fails ${slow}`;
    return `Keep the line closed: ${what}.`;
  }
  const what =
    limitsEndKmh !== null
      ? `The limits of ${name} end at ${limitsEndKmh} km/h`
      : `At ${quoted(speedKmh)} km/h ${name} ${words} is no longer met`;
  return `${what}; ${decision.permittedKmh} km/h keeps the overspeed factor ${model.overspeedFactor} below that.`;
}

/** What else fails at the speed at which the governing check does, after a space; nothing where it fails alone. */
function besideSentence({ model }: Judgement, governing: CheckId, sample: SpeedSample): string {
  const beside = failingBeside(sample, governing, model.limits);
  const there = sample.speedKmh === 0 ? 'At walking pace' : `At ${quoted(sample.speedKmh)} km/h`;
  return beside === null ? '' : ` ${there} ${beside}.`;
}

/** Where nothing fails but nothing was looked at above a speed. */
function endSentence({ model, entry, sweep, decision: { permittedKmh } }: Judgement): string {
  const { overspeedFactor, roundDownToKmh, speedsKmh } = model;
  const { givenUpFromKmh } = sweep;
  if (Number.isFinite(givenUpFromKmh)) {
    const why = `so many resonances come near a limit from ${shownBelow(givenUpFromKmh)} km/h on that the search for the worst speeds was given up there`;
    return permittedKmh === null
      ? `Keep the line closed: ${why}. Assess fewer bounds at a time.`
      : `The search ends early: ${why}; ${permittedKmh} km/h is the most that can be permitted. Fewer bounds at a time take less.`;
  }
  const last = lastAssessedKmh(model, entry);
  if (permittedKmh === null)
    return `Keep the line closed: nothing above ${last} km/h was assessed, which with the overspeed factor ${overspeedFactor} is too little for a first step of ${roundDownToKmh} km/h.`;
  if (last < speedsKmh[speedsKmh.length - 1]!)
    return `A static load model says nothing of the vibration of trains above ${last} km/h; ${permittedKmh} km/h keeps the overspeed factor ${overspeedFactor} below that. Above it a moving train has to be assessed in its place.`;
  return `The sweep ends at ${last} km/h; nothing above it was assessed, so that ${permittedKmh} km/h is the most that can be permitted.`;
}

/** What bands that are blocked may be missing above the speed that decides. */
function unsearched({ givenUpFromKmh }: TrainSweep): string {
  return Number.isFinite(givenUpFromKmh)
    ? ` More bands than are named may be blocked from ${shownBelow(givenUpFromKmh)} km/h on, where not every resonance was looked at.`
    : '';
}

/** A speed to 0.1 km/h, rounded down. */
const shownBelow = (speedKmh: number): number => Math.floor(rounded(10 * speedKmh)) / 10;

/** A speed to 0.1 km/h, rounded up: at the speed named, the limit quoted is the one that applies. */
const quoted = (speedKmh: number): number => Math.ceil(rounded(10 * speedKmh)) / 10;

/** Sentences on what a speed rests on without a check, each after a space. */
function untestedBeside({ state, sweep, status, missing, checks }: Judgement): string {
  const computed = sweep.missing.get(uncomputed);
  const notGiven = missing.filter((item) => !computed?.has(item));
  return (
    uncheckedStrength(notGiven, isStrengthCompared(checks)) +
    (status === 'closed' ? '' : judgedAsBuilt(state.damageCase.supportsJudgedAsBuilt)) +
    untestedTrack(state, sweep)
  );
}

/** What nothing asked for, since the track still rests on what is left, but nobody checked either. */
function untestedTrack({ sunkTrack, viaduct: { track }, damageCase }: CaseState, sweep: TrainSweep): string {
  if (!sunkTrack || !track) return '';
  const layers = uncheckedLayers(track, damageCase).filter((layer) => !sweep.missing.has(`${layer}-bending`));
  return layers.length === 0
    ? ''
    : ` The strength of ${layerNames(layers)} over what is lost below was not checked.`;
}

function closest(sweep: TrainSweep, governing: CheckId | null): string {
  if (!governing) return '';
  const most = Math.max(0, ...sweep.samples.map((sample) => utilisationOf(sample, governing)));
  return `; closest to its limit is ${checkName(governing)} at ${Math.ceil(100 * most)} %`;
}
