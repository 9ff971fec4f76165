import type { AssessmentModel, Limit } from '../../scenarios/assessment-model.js';
import type { Check, CheckId, Status, TrainResult } from '../../scenarios/result.js';
import { isAbove } from '../../solver/ties.js';
import { allPass, type Finding } from '../checks/check.js';
import { checks } from '../checks/list.js';
import { isStrengthCompared } from '../checks/strength-checks.js';
import { trainIdentity } from '../train-id.js';
import type { CaseState } from './case-state.js';
import { closedByStatics, equilibriumCheck } from './closed-case.js';
import { comfortSpeed, isComfort, withoutComfort } from './comfort.js';
import { deckEndResults } from './deck-end-results.js';
import { envelopeOf } from './envelope-result.js';
import { failureOf } from './failure-words.js';
import { lastAssessedKmh } from './last-assessed.js';
import { type JudgedSpeed, type PermittedSpeed, permittedSpeed, wholeBands } from './permitted-speed.js';
import type { MissingEvidence, SpeedSample } from './speed-sample.js';
import { sweepTrain, type TrainSweep } from './sweep-train.js';
import { sweptLimits } from './swept-limits.js';
import { layerNames, uncheckedLayers } from './unchecked-track.js';
import { checkName, firstOf, judgedAsBuilt, uncheckedStrength } from './wording.js';

/** Assesses one train on one case: statics first, then the sweep, then the decision. */
export function assessTrain(
  model: AssessmentModel,
  state: CaseState,
  entry: AssessmentModel['trains'][number],
  onProgress: (fraction: number) => void = () => {},
): TrainResult {
  const train = trainIdentity(entry);
  const closed = closedByStatics(model.lineSpeedKmh, state, train);
  if (closed) return closed;

  const whole = sweepTrain(model, state, entry, onProgress);
  const last = lastAssessedKmh(model, entry);
  const assessed = { ...whole, samples: whole.samples.filter(({ speedKmh }) => speedKmh <= last) };
  const sweep = { ...assessed, samples: assessed.samples.map((sample) => withoutComfort(model, sample)) };
  const decision = permittedSpeed(
    sweep.samples.map(judged),
    model.lineSpeedKmh,
    model.overspeedFactor,
    model.roundDownToKmh,
  );
  const missing = listMissing(sweep.missing);
  const status = statusOf(model, state, sweep, decision, missing);
  const governing =
    status === 'undetermined'
      ? (mostUrgentFirst(sweep.missing)[0]?.[0] ?? null)
      : governingCheck(sweep, decision);
  const deckEnds = deckEndResults(model, state, whole.samples);
  const pictured = governingSample(sweep, governing, decision).speedKmh;
  const permitted = status === 'undetermined' ? null : decision.permittedKmh;
  return {
    train: train.id,
    class: train.class,
    status,
    permitted_speed_kmh: permitted,
    comfort_speed_kmh: comfortSpeed(model, whole.samples, permitted),
    governing,
    reason: reasonOf(model, entry, state, sweep, decision, status, governing, missing),
    blocked_bands_kmh: wholeBands(decision.blockedBands),
    missing,
    resonance_speeds_kmh: sweep.resonances.map(({ speedKmh }) => rounded(speedKmh)),
    checks: [equilibriumCheck(state, model.lineSpeedKmh), ...listChecks(model, assessed)],
    sweep: sweepSeries(whole),
    sweep_limits: sweptLimits(model, whole.samples),
    ...(deckEnds.length > 0 ? { deck_ends: deckEnds } : {}),
    envelope: envelopeOf(state, sweep.peaksAt(pictured), pictured),
  };
}

function statusOf(
  model: AssessmentModel,
  { damageCase }: CaseState,
  { samples, missing: evidence }: TrainSweep,
  { permittedKmh }: PermittedSpeed,
  missing: readonly string[],
): Status {
  // Speeds that could not be computed say nothing, before damage either; what fails at walking pace stays closed without them.
  if (evidence.has(uncomputed) && judged(samples[0]!).safe) return 'undetermined';
  if (permittedKmh === null) return 'closed';
  if (damageCase.effects.length > 0 && missing.length > 0) return 'undetermined';
  return permittedKmh >= model.lineSpeedKmh ? 'line-speed' : 'restricted';
}

const judged = ({ speedKmh, findings }: SpeedSample): JudgedSpeed => ({
  speedKmh,
  safe: allPass(findings.values()),
});

/** A millionth of a km/h is no information; keeps files short and stable. */
const rounded = (value: number): number => Math.round(value * 1e6) / 1e6;

/** The one check whose evidence is computed, not supplied, and missing only where that failed. */
const uncomputed: CheckId = 'wheel-unloading';

function mostUrgentFirst(missing: MissingEvidence): [CheckId, Set<string>][] {
  return [...missing].sort(([a], [b]) => Number(b === uncomputed) - Number(a === uncomputed));
}

function listMissing(missing: MissingEvidence): string[] {
  return mostUrgentFirst(missing).flatMap(([, items]) => [...items]);
}

/** The check that fails first; where none fails, the one closest to its limit. */
function governingCheck(sweep: TrainSweep, decision: PermittedSpeed): CheckId | null {
  const at =
    decision.firstFailureKmh === null
      ? sweep.samples
      : sweep.samples.filter((sample) => sample.speedKmh === decision.firstFailureKmh);
  let worst: { id: CheckId; utilisation: number } | null = null;
  for (const { findings } of at) {
    for (const [id, { utilisation }] of findings) {
      if (!worst || isAbove(utilisation, worst.utilisation)) worst = { id, utilisation };
    }
  }
  return worst?.id ?? null;
}

function governingSample(
  sweep: TrainSweep,
  governing: CheckId | null,
  decision: PermittedSpeed,
): SpeedSample {
  const { samples } = sweep;
  const failing = samples.find((sample) => sample.speedKmh === decision.firstFailureKmh);
  if (failing) return failing;
  let worst = samples[0]!;
  for (const sample of samples)
    if (isAbove(utilisationOf(sample, governing), utilisationOf(worst, governing))) worst = sample;
  return worst;
}

const utilisationOf = ({ findings }: SpeedSample, check: CheckId | null): number =>
  (check && findings.get(check)?.utilisation) || 0;

function listChecks(model: AssessmentModel, sweep: TrainSweep): Check[] {
  const listedChecks: Check[] = [];
  for (const check of checks) {
    const limit: Limit | undefined = model.limits.get(check.id);
    const missing = sweep.missing.has(check.id);
    let worst: { finding: Finding; speedKmh: number } | null = null;
    const alone: JudgedSpeed[] = [];
    for (const { findings, speedKmh } of sweep.samples) {
      const finding = findings.get(check.id);
      alone.push({ speedKmh, safe: allPass(finding ? [finding] : []) });
      if (finding && (!worst || isAbove(finding.utilisation, worst.finding.utilisation)))
        worst = { finding, speedKmh };
    }
    if (!worst && !missing) continue;
    const overspeed = isComfort(model, check.id) ? 1 : model.overspeedFactor;
    const own = permittedSpeed(alone, model.lineSpeedKmh, overspeed, model.roundDownToKmh);
    listedChecks.push({
      id: check.id,
      kind: isComfort(model, check.id) ? 'comfort' : 'safety',
      value: worst?.finding.value ?? null,
      limit: worst?.finding.limit ?? null,
      unit: check.unit,
      utilisation: worst?.finding.utilisation ?? null,
      speed_kmh: worst ? rounded(worst.speedKmh) : null,
      at_m: worst?.finding.at ?? null,
      where: worst?.finding.where ?? null,
      source: limit?.source ?? 'resistance given in the scenario',
      evidence: missing ? 'missing' : 'given',
      permitted_speed_kmh: missing ? null : own.permittedKmh,
    });
  }
  return listedChecks;
}

/** Speed 0, the quasi-static passage, stands in for speeds below the grid and is not a speed that anybody asked for. */
function sweepSeries(sweep: TrainSweep): TrainResult['sweep'] {
  const samples = sweep.samples.filter((sample) => sample.speedKmh > 0);
  const series: Record<string, number[]> = {};
  for (const key of Object.keys(samples[0]?.quantities ?? {})) {
    const values: number[] = [];
    for (const { quantities } of samples) values.push(quantities[key]!);
    series[key] = values;
  }
  return { ...series, speed_kmh: samples.map((sample) => sample.speedKmh) };
}

function reasonOf(
  model: AssessmentModel,
  entry: AssessmentModel['trains'][number],
  state: CaseState,
  sweep: TrainSweep,
  decision: PermittedSpeed,
  status: Status,
  governing: CheckId | null,
  missing: readonly string[],
): string {
  const unit = checks.find((check) => check.id === governing)?.unit ?? '';
  if (status === 'undetermined')
    return `Keep the line closed until an engineer supplies ${firstOf(missing)}.`;
  const computed = sweep.missing.get(uncomputed);
  const notGiven = missing.filter((item) => !computed?.has(item));
  const untested =
    uncheckedStrength(notGiven, isStrengthCompared(listChecks(model, sweep))) +
    (status === 'closed' ? '' : judgedAsBuilt(state.damageCase.supportsJudgedAsBuilt)) +
    untestedTrack(state, sweep);
  const first = sweep.samples.find((sample) => sample.speedKmh === decision.firstFailureKmh);
  const finding = governing ? first?.findings.get(governing) : undefined;
  if (finding && governing && first) {
    const name = checkName(governing);
    const failure = failureOf(finding, unit, model.limits.get(governing), first.speedKmh);
    if (decision.permittedKmh === null) {
      const slow =
        first.speedKmh === 0 ? 'even at walking pace' : `already at ${quoted(first.speedKmh)} km/h`;
      const what =
        failure.limitsEndKmh !== null
          ? `${name} fails ${slow}, where its limits have ended`
          : `${name} ${failure.words} fails ${slow}`;
      return `Keep the line closed: ${what}.${untested}`;
    }
    const what =
      failure.limitsEndKmh !== null
        ? `The limits of ${name} end at ${failure.limitsEndKmh} km/h`
        : `At ${quoted(first.speedKmh)} km/h ${name} ${failure.words} is no longer met`;
    return `${what}; ${decision.permittedKmh} km/h keeps the overspeed factor ${model.overspeedFactor} below that.${untested}`;
  }
  if (decision.limitedBySweep) {
    const last = lastAssessedKmh(model, entry);
    if (decision.permittedKmh === null) {
      return `Keep the line closed: nothing above ${last} km/h was assessed, which with the overspeed factor ${model.overspeedFactor} is too little for a first step of ${model.roundDownToKmh} km/h.${untested}`;
    }
    if (last < model.speedsKmh[model.speedsKmh.length - 1]!) {
      return `A static load model says nothing of the vibration of trains above ${last} km/h; ${decision.permittedKmh} km/h keeps the overspeed factor ${model.overspeedFactor} below that. Above it a moving train has to be assessed in its place.${untested}`;
    }
    return `The sweep ends at ${last} km/h; nothing above it was assessed, so that ${decision.permittedKmh} km/h is the most that can be permitted.${untested}`;
  }
  return `Every check made passes up to ${model.overspeedFactor} times line speed${closest(sweep, governing)}.${untested}`;
}

/** A speed to 0.1 km/h, rounded up: at the speed named, the limit quoted is the one that applies. */
const quoted = (speedKmh: number): number => Math.ceil(rounded(10 * speedKmh)) / 10;

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
