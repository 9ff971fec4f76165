import { buildDynamicModel, type DynamicModel } from '../../solver/dynamic-model/dynamic-model.js';
import { seatForcesOnMovedDeck } from '../../solver/held-track/moved-seats.js';
import { solveDeadLoad } from '../../solver/statics/dead-load.js';
import type { DeadLoadState } from '../../solver/statics/dead-load-state.js';
import { type LineModes, lineModes } from '../../solver/vehicle/line-modes.js';
import type { TrackLayer, Viaduct } from '../../solver/viaduct/model.js';
import { type DeadLoadChange, deadLoadChange, movementUnderTrack } from './dead-load-change.js';

/** One set of factors on the deck's rigidity, its mass and the damping ratio. */
export interface BoundFactors {
  readonly stiffnessFactor: number;
  readonly massFactor: number;
  readonly dampingFactor: number;
}

/** One set of bound factors with the structure it makes, and with what the damage has left of that structure. */
export class BoundVariant {
  readonly deadLoad: DeadLoadState;
  /** Against the intact deck with the same factors; null where there is none to compare with. */
  readonly change: DeadLoadChange | null;
  private readonly scaled: Viaduct;
  private readonly seatForces = new Map<number, ReadonlyMap<number, number>>();
  private built: DynamicModel | null = null;
  private builtLineModes: LineModes | null = null;

  /**
   * @param intact before the damage; null without damage, or where it does not stand
   * @param momentsOf layers of the track whose moments are wanted
   * @param alike of the same rigidity and mass, whose dead load is the same; null where there is none yet
   */
  constructor(
    viaduct: Viaduct,
    intact: Viaduct | null,
    factors: BoundFactors,
    private readonly momentsOf: readonly TrackLayer[],
    alike: BoundVariant | null,
  ) {
    this.scaled = scaledBy(viaduct, factors);
    this.deadLoad = alike?.deadLoad ?? solveDeadLoad(this.scaled);
    this.change =
      alike?.change ??
      (intact && deadLoadChange(viaduct, this.deadLoad, solveDeadLoad(scaledBy(intact, factors))));
  }

  /** Built on first use: a closed case never needs it. */
  dynamics(): DynamicModel {
    this.built ??= buildDynamicModel(this.scaled, { momentsOf: this.momentsOf });
    return this.built;
  }

  /** What moves under wheels of vehicles on the first track; built on first use. */
  lineModes(): LineModes {
    this.builtLineModes ??= lineModes(this.dynamics());
    return this.builtLineModes;
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
