import type { AssessmentModel } from '../../scenarios/assessment-model.js';
import { buildDeckEnds, type DeckEnd } from '../../solver/deck-ends/deck-end.js';
import { type DeckEndResponse, DeckEndTrain, type Worst } from '../../solver/deck-ends/deck-end-train.js';
import type { DynamicModel } from '../../solver/dynamic-model/dynamic-model.js';
import type { Peaks } from '../../solver/peaks/peaks.js';
import type { ResponseRow } from '../../solver/rows/response-rows.js';
import type { MovingTrain } from '../../solver/viaduct/model.js';
import type { BoundVariant } from './bound-variant.js';
import type { CaseState } from './case-state.js';
import { movementUnderTrack } from './dead-load-change.js';

/** The worse of both directions at every deck end, at the speed that the peaks belong to; none where the fastening is linear. */
export type DeckEndOutcome = (peaks: Peaks) => readonly DeckEndResponse[];

/** m: seats this near to a joint or deck end have a row of their own each. */
const rowsReach = 2.5;
/** Share of the largest force on a seat below which its pull says nothing about how the train sways. */
const tellingPull = 1e-3;

/** The rows of the seats at a place of the deck. */
export function seatRowsNear(rows: readonly ResponseRow[], x: number, track: number): number[] {
  return rows.flatMap((row, index) =>
    row.quantity === 'fastening-force' && (row.track ?? 0) === track && Math.abs(row.x - x) <= rowsReach
      ? [index]
      : [],
  );
}

/** Where the deck ends: abutments, joints and supports without bearings. */
export function deckEndPlaces({ viaduct }: CaseState, variant: BoundVariant): number[] {
  const { x, supports } = variant.dynamics().mesh.grid;
  const last = viaduct.supports.length - 1;
  return viaduct.supports.flatMap(({ joint, bearing }, index) =>
    joint || !bearing || index === 0 || index === last ? [x[supports[index]!]!] : [],
  );
}

/**
 * The nonlinear fastenings under a train. The effect of the wheels is the static one times the factor by which the linear pull at that
 * deck end is larger at speed than standing, at least 1.
 *
 * @param dynamics the variant's, with the train on one of its tracks; the peaks may hold trains on other tracks as well, which enlarge the factor
 * @param standing peaks of the linear rows as the train alone creeps over, both directions together
 */
export function prepareDeckEnds(
  state: CaseState,
  { change }: BoundVariant,
  dynamics: DynamicModel,
  train: MovingTrain,
  standing: () => Peaks,
): DeckEndOutcome {
  const { track } = state.viaduct;
  if (!track?.fastening.clamping) return () => [];
  const moved = change && movementUnderTrack(change, state.viaduct, dynamics.line.track);
  const ends = buildDeckEnds(dynamics, track, moved);
  const ways = (['forward', 'reverse'] as const).map((way) => new DeckEndTrain(dynamics, ends, train, way));
  const rows = ends.map((end) => seatRowsNear(dynamics.rows, end.x, end.track));
  const atRest = standing();
  const factorAt = (end: number, peaks: Peaks) => {
    const still = pullOf(rows[end]!, atRest);
    const pressed = rows[end]!.reduce((most, row) => Math.max(most, atRest.largest[row]!), 0);
    return Math.max(1, pullOf(rows[end]!, peaks) / Math.max(still, tellingPull * pressed, 1));
  };
  return (peaks) => {
    const factors = ends.map((_, end) => factorAt(end, peaks));
    const [there, back] = ways.map((way) => way.respond(factors));
    return there!.map((response, end) => worseEnd(response, back![end]!));
  };
}

function pullOf(rows: readonly number[], { smallest }: Peaks): number {
  return rows.reduce((most, row) => Math.max(most, -smallest[row]!), 0);
}

/** The worse of two responses of one deck end, value by value. */
function worseEnd(a: DeckEndResponse, b: DeckEndResponse): DeckEndResponse {
  const worse = (one: Worst, other: Worst) => (other.value > one.value ? other : one);
  const pulled = b.pull.value > a.pull.value ? b : a;
  return {
    ...pulled,
    uplift: worse(a.uplift, b.uplift),
    compression: worse(a.compression, b.compression),
    railBending: worse(a.railBending, b.railBending),
    released: Math.max(a.released, b.released),
    unheld: a.unheld || b.unheld,
  };
}

/** Keys of the result's sweep: the worst of all deck ends. */
export function deckEndQuantities(
  model: AssessmentModel,
  responses: readonly DeckEndResponse[],
): Readonly<Record<string, number>> {
  if (responses.length === 0) return {};
  const most = (value: (of: DeckEndResponse) => number) => Math.max(...responses.map(value));
  const modulus = model.viaduct.track?.rail.sectionModulus;
  return {
    deck_end_uplift_mm: 1e3 * most(({ uplift }) => uplift.value),
    deck_end_compression_kN: 1e-3 * most(({ compression }) => compression.value),
    ...(modulus === undefined
      ? {}
      : { rail_stress_increment_N_per_mm2: 1e-6 * most(({ railBending }) => railBending.value / modulus) }),
  };
}

/** The end of the deck in the words of a reader. */
export const deckEndName = (state: CaseState, end: DeckEnd): string =>
  `support ${state.viaduct.supports[end.support]!.id}`;
