import { solveDeadLoad } from '../../solver/dead-load.js';
import type { DeadLoadState } from '../../solver/dead-load-state.js';
import { buildDynamicModel, type DynamicModel } from '../../solver/dynamic-model.js';
import type { TrackLayer, Viaduct } from '../../solver/model.js';

/** One set of factors on the deck's rigidity, its mass and the damping ratio. */
export interface BoundFactors {
  readonly stiffnessFactor: number;
  readonly massFactor: number;
  readonly dampingFactor: number;
}

/** One set of bound factors with the structure it makes. */
export class BoundVariant {
  readonly deadLoad: DeadLoadState;
  private readonly scaled: Viaduct;
  private built: DynamicModel | null = null;

  /**
   * @param nominal dead load with all factors 1
   * @param momentsOf layers of the track whose moments are wanted over what is lost
   */
  constructor(
    viaduct: Viaduct,
    nominal: DeadLoadState,
    factors: BoundFactors,
    private readonly momentsOf: readonly TrackLayer[],
  ) {
    this.scaled = scaledBy(viaduct, factors);
    this.deadLoad =
      factors.stiffnessFactor === 1 && factors.massFactor === 1 ? nominal : solveDeadLoad(this.scaled);
  }

  /** Built on first use: a closed case never needs it. */
  dynamics(): DynamicModel {
    this.built ??= buildDynamicModel(this.scaled, { momentsOf: this.momentsOf });
    return this.built;
  }
}

/** Bounds scale the deck: its rigidity, its mass and the damping ratio. Supports and track stay nominal. */
function scaledBy(viaduct: Viaduct, factors: BoundFactors): Viaduct {
  return {
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
}
