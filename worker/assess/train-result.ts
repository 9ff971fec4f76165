import type { AssessmentModel, Limit } from '../../scenarios/assessment-model.js';
import type { Check, CheckId, Status, TrainResult } from '../../scenarios/result.js';
import { isAbove } from '../../solver/peaks/ties.js';
import { allPass, type Finding } from '../checks/check.js';
import { checks } from '../checks/list.js';
import { trainIdentity } from '../train-id.js';
import type { CaseState } from './case-state.js';
import { closedByStatics, equilibriumCheck } from './closed-case.js';
import { comfortSpeed, isComfort, withoutComfort } from './comfort.js';
import { deckEndResults } from './deck-end-results.js';
import { envelopeOf } from './envelope-result.js';
import { lastAssessedKmh } from './last-assessed.js';
import { type JudgedSpeed, type PermittedSpeed, permittedSpeed, wholeBands } from './permitted-speed.js';
import { reasonOf, uncomputed } from './reason.js';
import { rounded } from './rounded-speed.js';
import { type SearchBudget, usualBudget } from './search-budget.js';
import { type MissingEvidence, type SpeedSample, utilisationOf } from './speed-sample.js';
import { sweepTrain, type TrainSweep } from './sweep-train.js';
import { sweptLimits } from './swept-limits.js';

/** Assesses one train on one case: statics first, then the sweep, then the decision. */
export function assessTrain(
  model: AssessmentModel,
  state: CaseState,
  entry: AssessmentModel['trains'][number],
  onProgress: (fraction: number) => void = () => {},
  budget: SearchBudget = usualBudget,
): TrainResult {
  const train = trainIdentity(entry);
  const closed = closedByStatics(model.lineSpeedKmh, state, train);
  if (closed) return closed;

  const whole = sweepTrain(model, state, entry, budget, onProgress);
  const last = lastAssessedKmh(model, entry);
  const assessed = { ...whole, samples: whole.samples.filter(({ speedKmh }) => speedKmh <= last) };
  const sweep = { ...assessed, samples: assessed.samples.map((sample) => withoutComfort(model, sample)) };
  const decision = permittedSpeed(
    sweep.samples.map(judged),
    model.lineSpeedKmh,
    model.overspeedFactor,
    model.roundDownToKmh,
    sweep.givenUpFromKmh,
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
  const listed = listChecks(model, assessed);
  return {
    train: train.id,
    class: train.class,
    status,
    permitted_speed_kmh: permitted,
    comfort_speed_kmh: comfortSpeed(model, whole, permitted),
    governing,
    reason: reasonOf({ model, entry, state, sweep, decision, status, governing, missing, checks: listed }),
    blocked_bands_kmh: wholeBands(decision.blockedBands),
    missing,
    resonance_speeds_kmh: sweep.resonances.map(({ speedKmh }) => rounded(speedKmh)),
    checks: [equilibriumCheck(state, model.lineSpeedKmh), ...listed],
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
    const own = permittedSpeed(
      alone,
      model.lineSpeedKmh,
      overspeed,
      model.roundDownToKmh,
      sweep.givenUpFromKmh,
    );
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
