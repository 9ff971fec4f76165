import type { AssessmentModel, DamageCase } from '../../scenarios/assessment-model.js';
import { upliftResistance } from '../../solver/bearings.js';
import { applyDamage } from '../../solver/damage.js';
import { solveDeadLoad } from '../../solver/dead-load.js';
import type { DeadLoadState } from '../../solver/dead-load-state.js';
import { type ReleasedDeadLoad, releaseLiftedBearings } from '../../solver/lift-off.js';
import { findMechanism, type Mechanism } from '../../solver/mechanism.js';
import type { TrackLayer, Viaduct } from '../../solver/model.js';
import { seatForcesOnMovedDeck } from '../../solver/moved-seats.js';
import { type BoundFactors, BoundVariant } from './bound-variant.js';
import { type DeadLoadChange, deadLoadChange, movementUnderTrack } from './dead-load-change.js';
import { type SunkTrack, sunkTrack } from './sunk-track.js';

/** Everything about one damage case that trains share. */
export interface CaseState {
  readonly damageCase: DamageCase;
  readonly viaduct: Viaduct;
  readonly mechanism: Mechanism | null;
  /** Null for a mechanism. */
  readonly deadLoad: DeadLoadState | null;
  /** Only where dead load pulls on a bearing by more than it can take. */
  readonly released: ReleasedDeadLoad | null;
  /** Against the intact deck; null for a mechanism. */
  readonly change: DeadLoadChange | null;
  /** Null where fastenings and bedding are as built, and for a mechanism. */
  readonly sunkTrack: SunkTrack | null;
  /**
   * N per pair of seats of a track, by place: what presses them together once the damage has moved the deck, compression positive; none without it.
   */
  readonly seatForcesLeft: (track: number) => ReadonlyMap<number, number>;
  /** Nominal first; empty for a mechanism. */
  readonly variants: readonly BoundVariant[];
}

/** Statics first: equilibrium, dead load, lift-off; the dynamic models wait until somebody asks. */
export function buildCaseState(model: AssessmentModel, damageCase: DamageCase): CaseState {
  const viaduct = applyDamage(model.viaduct, damageCase.effects);
  const mechanism = findMechanism(viaduct);
  const none = { damageCase, viaduct, mechanism, deadLoad: null, released: null, change: null };
  if (mechanism) return { ...none, sunkTrack: null, seatForcesLeft: () => new Map(), variants: [] };
  const deadLoad = solveDeadLoad(viaduct);
  const intactMechanism = findMechanism(model.viaduct);
  const intact = intactMechanism ? null : solveDeadLoad(model.viaduct);
  const change = intact ? deadLoadChange(viaduct, deadLoad, intact) : null;
  const variants = combinations(model).map(
    (factors) => new BoundVariant(viaduct, deadLoad, factors, layersWithResistance(damageCase)),
  );
  return {
    ...none,
    deadLoad,
    released: pullsOff(viaduct, deadLoad) ? releaseLiftedBearings(viaduct) : null,
    change,
    sunkTrack: sunkTrack(viaduct, model.viaduct),
    seatForcesLeft: seatForcesBy(damageCase, viaduct, change, variants[0]!),
    variants,
  };
}

/** Found once for each track. */
function seatForcesBy(
  { effects }: DamageCase,
  viaduct: Viaduct,
  change: DeadLoadChange | null,
  nominal: BoundVariant,
): CaseState['seatForcesLeft'] {
  const found = new Map<number, ReadonlyMap<number, number>>();
  const { track: layers } = viaduct;
  if (!change || !layers || effects.length === 0) return () => new Map();
  return (track) => {
    const { mesh } = nominal.dynamics();
    const forces =
      found.get(track) ??
      seatForcesOnMovedDeck(mesh, layers.fastening, track, movementUnderTrack(change, viaduct, track));
    found.set(track, forces);
    return forces;
  };
}

function pullsOff(viaduct: Viaduct, state: DeadLoadState): boolean {
  return state.bearings.some(
    (line) =>
      -line.reaction > upliftResistance(viaduct.supports[line.support]!, line) + 1e-9 * state.totalReaction,
  );
}

function combinations({ bounds }: AssessmentModel): BoundFactors[] {
  const all: BoundFactors[] = [];
  for (const stiffnessFactor of bounds.stiffnessFactors) {
    for (const massFactor of bounds.massFactors) {
      for (const dampingFactor of bounds.dampingFactors)
        all.push({ stiffnessFactor, massFactor, dampingFactor });
    }
  }
  return all;
}

/** Moments of the track are worth computing where something is known to compare them with. */
function layersWithResistance({ resistance }: DamageCase): TrackLayer[] {
  if (!resistance) return [];
  const { slabSagging, slabHogging, rail } = resistance.track;
  return [
    ...(slabSagging === null && slabHogging === null ? [] : (['slab'] as const)),
    ...(rail === null ? [] : (['rail'] as const)),
  ];
}
