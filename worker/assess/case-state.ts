import type { AssessmentModel, DamageCase } from '../../scenarios/assessment-model.js';
import { upliftResistance } from '../../solver/bearings.js';
import { applyDamage } from '../../solver/damage.js';
import { type DeadLoadState, solveDeadLoad } from '../../solver/dead-load.js';
import { buildDynamicModel, type DynamicModel } from '../../solver/dynamic-model.js';
import { type ReleasedDeadLoad, releaseLiftedBearings } from '../../solver/lift-off.js';
import { findMechanism, type Mechanism } from '../../solver/mechanism.js';
import type { TrackLayer, Viaduct } from '../../solver/model.js';
import { type DeadLoadChange, deadLoadChange } from './dead-load-change.js';
import { type SunkTrack, sunkTrack } from './sunk-track.js';

/** One set of bound factors with the structure it makes. */
export interface BoundVariant {
  readonly stiffnessFactor: number;
  readonly massFactor: number;
  readonly dampingFactor: number;
  readonly deadLoad: DeadLoadState;
  /** Built on first use: a closed case never needs it. */
  readonly dynamics: () => DynamicModel;
}

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
  /** Nominal first; empty for a mechanism. */
  readonly variants: readonly BoundVariant[];
}

/** Statics first: equilibrium, dead load, lift-off; the dynamic models wait until somebody asks. */
export function buildCaseState(model: AssessmentModel, damageCase: DamageCase): CaseState {
  const viaduct = applyDamage(model.viaduct, damageCase.effects);
  const mechanism = findMechanism(viaduct);
  const none = { damageCase, viaduct, mechanism, deadLoad: null, released: null, change: null };
  if (mechanism) return { ...none, sunkTrack: null, variants: [] };
  const deadLoad = solveDeadLoad(viaduct);
  const intactMechanism = findMechanism(model.viaduct);
  const intact = intactMechanism ? null : solveDeadLoad(model.viaduct);
  return {
    ...none,
    deadLoad,
    released: pullsOff(viaduct, deadLoad) ? releaseLiftedBearings(viaduct) : null,
    change: intact ? deadLoadChange(viaduct, deadLoad, intact) : null,
    sunkTrack: sunkTrack(viaduct, model.viaduct),
    variants: combinations(model).map((factors) =>
      variantOf(viaduct, deadLoad, factors, layersWithResistance(damageCase)),
    ),
  };
}

function pullsOff(viaduct: Viaduct, state: DeadLoadState): boolean {
  const total = state.reactions.reduce((sum, reaction) => sum + Math.abs(reaction), 0);
  return state.bearings.some(
    (line) => -line.reaction > upliftResistance(viaduct.supports[line.support]!, line) + 1e-9 * total,
  );
}

function combinations({ bounds }: AssessmentModel) {
  const all = [];
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

/** Bounds scale the deck: its rigidity, its mass and the damping ratio. Supports and track stay nominal. */
function variantOf(
  viaduct: Viaduct,
  nominal: DeadLoadState,
  factors: Pick<BoundVariant, 'stiffnessFactor' | 'massFactor' | 'dampingFactor'>,
  momentsOf: readonly TrackLayer[],
): BoundVariant {
  const scaled: Viaduct = {
    ...viaduct,
    dampingRatio: viaduct.dampingRatio * factors.dampingFactor,
    spans: viaduct.spans.map((span) => ({
      segments: span.segments.map((segment) => ({
        length: segment.length,
        massPerLength: segment.massPerLength * factors.massFactor,
        flexuralRigidity: segment.flexuralRigidity * factors.stiffnessFactor,
        shearRigidity:
          segment.shearRigidity === null ? null : segment.shearRigidity * factors.stiffnessFactor,
        ...(segment.torsion && {
          torsion: {
            rigidity: segment.torsion.rigidity * factors.stiffnessFactor,
            rotaryInertia: segment.torsion.rotaryInertia * factors.massFactor,
          },
        }),
      })),
    })),
  };
  let dynamics: DynamicModel | null = null;
  return {
    ...factors,
    deadLoad: factors.stiffnessFactor === 1 && factors.massFactor === 1 ? nominal : solveDeadLoad(scaled),
    dynamics: () => {
      dynamics ??= buildDynamicModel(scaled, { momentsOf });
      return dynamics;
    },
  };
}
