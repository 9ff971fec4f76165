import type { AssessmentModel, DamageCase } from '../../scenarios/assessment-model.js';
import type { DeadLoadState } from '../../solver/statics/dead-load-state.js';
import { type ReleasedDeadLoad, releaseLiftedBearings } from '../../solver/statics/lift-off.js';
import { findMechanism, type Mechanism } from '../../solver/statics/mechanism.js';
import { upliftResistance } from '../../solver/viaduct/bearings.js';
import { applyDamage } from '../../solver/viaduct/damage.js';
import type { TrackLayer, Viaduct } from '../../solver/viaduct/model.js';
import { BoundVariant } from './bound-variant.js';
import { type SunkTrack, sunkTrack } from './sunk-track.js';

/** Everything about one damage case that trains share. */
export interface CaseState {
  readonly damageCase: DamageCase;
  readonly viaduct: Viaduct;
  readonly mechanism: Mechanism | null;
  /** Nominal; null for a mechanism. */
  readonly deadLoad: DeadLoadState | null;
  /** Only where dead load pulls on a bearing by more than it can take. */
  readonly released: ReleasedDeadLoad | null;
  /** Null where fastenings and bedding are as built, and for a mechanism. */
  readonly sunkTrack: SunkTrack | null;
  /** Nominal first; empty for a mechanism. */
  readonly variants: readonly BoundVariant[];
}

/** Statics first: equilibrium, dead load, lift-off; the dynamic models wait until somebody asks. */
export function buildCaseState(model: AssessmentModel, damageCase: DamageCase): CaseState {
  const viaduct = applyDamage(model.viaduct, damageCase.effects);
  const mechanism = findMechanism(viaduct);
  const none = { damageCase, viaduct, mechanism, deadLoad: null, released: null, sunkTrack: null };
  if (mechanism) return { ...none, variants: [] };
  const variants = variantsOf(model, damageCase, viaduct);
  const { deadLoad } = variants[0]!;
  return {
    ...none,
    deadLoad,
    released: pullsOff(viaduct, deadLoad) ? releaseLiftedBearings(viaduct) : null,
    sunkTrack: sunkTrack(viaduct, model.viaduct),
    variants,
  };
}

function pullsOff(viaduct: Viaduct, state: DeadLoadState): boolean {
  return state.bearings.some(
    (line) =>
      -line.reaction > upliftResistance(viaduct.supports[line.support]!, line) + 1e-9 * state.totalReaction,
  );
}

/** Every combination of the bounds. */
function variantsOf(
  { bounds, viaduct: asBuilt }: AssessmentModel,
  damageCase: DamageCase,
  viaduct: Viaduct,
): BoundVariant[] {
  const intact = damageCase.effects.length === 0 || findMechanism(asBuilt) ? null : asBuilt;
  const momentsOf = layersWithResistance(damageCase);
  const all: BoundVariant[] = [];
  for (const stiffnessFactor of bounds.stiffnessFactors) {
    for (const massFactor of bounds.massFactors) {
      let alike: BoundVariant | null = null;
      for (const dampingFactor of bounds.dampingFactors) {
        const factors = { stiffnessFactor, massFactor, dampingFactor };
        const variant: BoundVariant = new BoundVariant(viaduct, intact, factors, momentsOf, alike);
        alike ??= variant;
        all.push(variant);
      }
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
