import type { AssessmentModel, Limit } from '../../scenarios/assessment-model.js';
import type { CheckId } from '../../scenarios/result.js';
import type { DeckEndResponse } from '../../solver/deck-ends/deck-end-train.js';
import type { Objective } from '../../solver/peaks/objective.js';
import type { Peaks } from '../../solver/peaks/peaks.js';
import { isAbove } from '../../solver/peaks/ties.js';
import { type ResponseRow, rowsOf } from '../../solver/rows/response-rows.js';
import { supportPositions } from '../../solver/statics/dead-load.js';
import type { BoundVariant } from '../assess/bound-variant.js';
import type { CaseState } from '../assess/case-state.js';
import type { LevelDefect } from '../assess/level-defect.js';
import type { RideOutcome } from '../assess/ride-outcome.js';

/** What a check may look at for one train at one speed: one bound variant's peaks, both directions taken together. */
export interface CheckInput {
  readonly model: AssessmentModel;
  readonly state: CaseState;
  readonly variant: BoundVariant;
  readonly rows: readonly ResponseRow[];
  readonly peaks: Peaks;
  /** What a train of vehicles went through, the worse of both directions; null for axle forces. */
  readonly ride: RideOutcome | null;
  /** Fastenings beyond their linear range, the worse of both directions; empty where they are linear. */
  readonly deckEnds: readonly DeckEndResponse[];
  /** Of the damaged track under this train, the deck with the variant's factors; null without damage, or without an intact alignment to compare with. */
  readonly level: LevelDefect | null;
  readonly speedKmh: number;
  readonly limit: Limit | null;
}

/** What the objectives of a check depend on: everything but the train and its speed. */
export type ObjectiveInput = Pick<CheckInput, 'model' | 'state' | 'variant' | 'rows'>;

/** The worst of a check at one speed, in the check's unit. */
export interface Finding {
  readonly value: number;
  readonly limit: number;
  /** value / limit; passes at <= 1. */
  readonly utilisation: number;
  /** How near the check comes to failing, 1 at its limit, where utilisation does not tell: what the search for peaks follows in its place. */
  readonly nearness?: number;
  readonly at: number | null;
  readonly where: string | null;
}

/**
 * One check, one file. `judge` returns the worst finding, null where the check has nothing to judge (no such part, or no
 * evidence needed), and reports every missing piece of evidence it came across.
 */
export interface SafetyCheck {
  readonly id: CheckId;
  readonly unit: string;
  /** Which peaks the check will look at: the passage finds the largest value of each objective and need not find any other. */
  readonly objectives: (input: ObjectiveInput) => readonly (Objective | null)[];
  readonly judge: (input: CheckInput, missing: (what: string) => void) => Finding | null;
}

/** Utilisation that stands for "fails whatever the number": a pull without resistance, a speed beyond every limit. */
export const failing = 999;

/**
 * The limit at a speed: the first step that reaches it. Null beyond the last step, where nothing is permitted.
 */
export function limitAt(limit: Limit, speedKmh: number): number | null {
  for (const step of limit.steps) if (speedKmh <= step.upToKmh) return step.value;
  return null;
}

/** The limit at a speed; beyond the last step, where nothing passes, that of the last. */
export function limitOrLast(
  limit: Limit,
  speedKmh: number,
): { readonly allowed: number; readonly ended: boolean } {
  const allowed = limitAt(limit, speedKmh);
  return { allowed: allowed ?? limit.steps[limit.steps.length - 1]!.value, ended: allowed === null };
}

/** Judges a value against the limit of its speed. */
export function against(
  limit: Limit,
  speedKmh: number,
  value: number,
  at: number | null,
  where: string | null,
): Finding {
  const { allowed, ended } = limitOrLast(limit, speedKmh);
  return { value, limit: allowed, utilisation: ended ? failing : value / allowed, at, where };
}

/** The part of a resistance that a check may use up at a speed; beyond the last step, where nothing passes, that of the last. */
export function allowedShare({ limit, speedKmh }: Pick<CheckInput, 'limit' | 'speedKmh'>): {
  readonly share: number;
  readonly ended: boolean;
} {
  if (!limit) return { share: 1, ended: false };
  const { allowed, ended } = limitOrLast(limit, speedKmh);
  return { share: allowed, ended };
}

/** Every share of its resistance that a check may use up at one speed or another. */
export function sharesOf(check: CheckId, { model }: ObjectiveInput): readonly number[] {
  return [...new Set(model.limits.get(check)?.steps.map(({ value }) => value) ?? [1])];
}

/** What dead load and the train ask for in one direction, N or N m; dead load below 0 relieves. */
export interface Demand {
  readonly dead: number;
  readonly train: number;
}

/** Judges a demand against the share of a resistance that may be used up; the finding is in kN, kNm. */
export function againstResistance(
  input: Pick<CheckInput, 'limit' | 'speedKmh'>,
  demand: Demand,
  resistance: number,
  at: number,
  where: string,
): Finding {
  const { share, ended } = allowedShare(input);
  const allowed = share * resistance;
  const asked = demand.dead + demand.train;
  const utilisation = ended ? failing : Math.max(0, asked) / allowed;
  const finding = { value: asked / 1e3, limit: allowed / 1e3, utilisation, at, where };
  return ended || demand.dead >= 0 ? finding : { ...finding, nearness: nearnessTo(allowed, demand) };
}

/**
 * How near a demand comes to what is allowed, 1 where it reaches it. Where dead load relieves, the share that the train uses up of what dead
 * load and resistance leave it: utilisation is 0 until the train has overcome the dead load, and may pass 1 right after.
 */
export function nearnessTo(allowed: number, { dead, train }: Demand): number {
  return dead < 0 ? train / (allowed - dead) : (dead + train) / allowed;
}

/** What the search for peaks follows of a finding. */
export const nearnessOf = ({ nearness, utilisation }: Finding): number => nearness ?? utilisation;

/** The finding, no less near than what else the same check asks for; 0 where that is nothing. */
export const nearer = (finding: Finding | null, nearness: number): Finding | null =>
  finding && nearness > 0 ? { ...finding, nearness: Math.max(nearnessOf(finding), nearness) } : finding;

/** Whether every finding is within its limit. */
export function allPass(findings: Iterable<Finding>): boolean {
  for (const { utilisation } of findings) if (utilisation > 1) return false;
  return true;
}

/**
 * The finding with the higher utilisation, at the place of the first where both are the same but for rounding, and as near as the nearer
 * one; of two that fail whatever their values, the one with more of its limit.
 */
export function worse(a: Finding | null, b: Finding | null): Finding | null {
  if (!a) return b;
  if (!b) return a;
  const worst = worseUsed(a, b);
  if (a.nearness === undefined && b.nearness === undefined) return worst;
  return { ...worst, nearness: Math.max(nearnessOf(a), nearnessOf(b)) };
}

function worseUsed(a: Finding, b: Finding): Finding {
  if (a.utilisation >= failing && b.utilisation >= failing) return isAbove(beyond(b), beyond(a)) ? b : a;
  if (b.utilisation <= a.utilisation) return a;
  return isAbove(b.utilisation, a.utilisation) ? b : { ...b, at: a.at, where: a.where };
}

/** Value by limit; by 1 where there is no limit to speak of. */
const beyond = ({ value, limit }: Finding): number => value / (limit > 0 ? limit : 1);

/** Judges the largest absolute value over the rows of one quantity. */
export function againstLargest(
  input: CheckInput,
  quantity: ResponseRow['quantity'],
  placeOf: (row: ResponseRow) => string,
): Finding | null {
  const worst = largestAbsolute(input, quantity);
  if (!worst || !input.limit) return null;
  const { value, row } = worst;
  return against(input.limit, input.speedKmh, value, row.x, placeOf(row) + sideName(row));
}

function largestAbsolute(
  input: CheckInput,
  quantity: ResponseRow['quantity'],
): { value: number; row: ResponseRow } | null {
  let worst: { value: number; row: ResponseRow } | null = null;
  for (const index of rowsOf(input.rows, quantity)) {
    const row = input.rows[index]!;
    const value = Math.max(input.peaks.largest[index]!, -input.peaks.smallest[index]!);
    if (!worst || value > worst.value)
      worst = { value, row: worst && !isAbove(value, worst.value) ? worst.row : row };
  }
  return worst;
}

export const spanName = (index: number): string => `span ${index + 1}`;
export const supportName = (input: CheckInput, index: number): string =>
  `support ${input.state.viaduct.supports[index]!.id}`;

/** Where somebody finds the track, or a layer of it, on deck or approach: metres from the first support, or from the last beyond it, and the chainage where it is known. */
export function trackPlace(part: string, at: number, { model, state }: ObjectiveInput): string {
  const { supports } = state.viaduct;
  const length = supportPositions(state.viaduct).at(-1)!;
  const start = model.startChainageKm;
  const chainage = start === null ? '' : `, km ${(start + at / 1e3).toFixed(3)}`;
  if (at < 0) return `${part} ${(-at).toFixed(1)} m before support ${supports[0]!.id}${chainage}`;
  if (at > length)
    return `${part} ${(at - length).toFixed(1)} m beyond support ${supports.at(-1)!.id}${chainage}`;
  return `${part} ${at.toFixed(1)} m from support ${supports[0]!.id}${chainage}`;
}

/** Which track a row lies under, or which of two bearings it is, as an addition to its place; nothing where there is one. */
export const sideName = ({ track, bearing }: ResponseRow): string =>
  (track === undefined ? '' : `, track ${track + 1}`) + (bearing === undefined ? '' : `, ${bearing} bearing`);
