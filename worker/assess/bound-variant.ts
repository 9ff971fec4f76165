import { buildDynamicModel, type DynamicModel } from '../../solver/dynamic-model/dynamic-model.js';
import { seatForcesOnMovedDeck } from '../../solver/held-track/moved-seats.js';
import type { MomentStretch } from '../../solver/rows/moment-stretches.js';
import { solveDeadLoad } from '../../solver/statics/dead-load.js';
import type { DeadLoadState } from '../../solver/statics/dead-load-state.js';
import type { Viaduct } from '../../solver/viaduct/model.js';
import { type DeadLoadChange, deadLoadChange, movementUnderTrack } from './dead-load-change.js';

/** One set of factors on the deck's rigidity, its mass and the damping ratio. */
export interface BoundFactors {
  readonly stiffnessFactor: number;
  readonly massFactor: number;
  readonly dampingFactor: number;
}

/** What dead load does to the structure with one set of bound factors. */
export interface BoundStatics {
  readonly scaled: Viaduct;
  readonly deadLoad: DeadLoadState;
  /** Against the intact deck with the same factors; null where there is none to compare with. */
  readonly change: DeadLoadChange | null;
}

/**
 * @param intact before the damage; null without damage, or where it does not stand
 * @param alike of the same rigidity and mass, whose dead load is the same; null where there is none yet
 */
export function boundStatics(
  viaduct: Viaduct,
  intact: Viaduct | null,
  factors: BoundFactors,
  alike: BoundStatics | null,
): BoundStatics {
  const scaled = scaledBy(viaduct, factors);
  if (alike) return { ...alike, scaled };
  const deadLoad = solveDeadLoad(scaled);
  const change = intact && deadLoadChange(viaduct, deadLoad, solveDeadLoad(scaledBy(intact, factors)));
  return { scaled, deadLoad, change };
}

/** One set of bound factors with the structure it makes, and with what the damage has left of that structure. */
export class BoundVariant {
  readonly deadLoad: DeadLoadState;
  readonly change: DeadLoadChange | null;
  private readonly scaled: Viaduct;
  private readonly seatForces = new Map<number, ReadonlyMap<number, number>>();
  private built: DynamicModel | null = null;

  /** @param momentsAlong where moments of the track are wanted; the same for all variants of a case, whose rows are told by their index */
  constructor(
    { scaled, deadLoad, change }: BoundStatics,
    private readonly momentsAlong: readonly MomentStretch[],
  ) {
    this.scaled = scaled;
    this.deadLoad = deadLoad;
    this.change = change;
  }

  /** Built on first use: a closed case never needs it. */
  dynamics(): DynamicModel {
    this.built ??= buildDynamicModel(this.scaled, { momentsAlong: this.momentsAlong });
    return this.built;
  }

  /**
   * N per pair of seats of a track, by place: what presses them together once the damage has moved the deck, compression positive; none
   * without it. Found once for each track.
   */
  seatForcesLeft(track: number): ReadonlyMap<number, number> {
    const { change, scaled } = this;
    if (!change || !scaled.track) return new Map();
    let forces = this.seatForces.get(track);
    if (!forces) {
      const moved = movementUnderTrack(change, scaled, track);
      forces = seatForcesOnMovedDeck(this.dynamics().mesh, scaled.track.fastening, track, moved);
      this.seatForces.set(track, forces);
    }
    return forces;
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
