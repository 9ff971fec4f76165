/**
 * The structure as the solver sees it. SI units throughout, no suffixes: metres, newtons, kilograms, seconds, radians.
 * x runs along the deck from the first support; z, loads and deflections are positive downwards.
 */

/** A stretch of deck with constant properties. */
export interface DeckSegment {
  readonly length: number;
  /** Mass per metre of deck without rail and slab. */
  readonly massPerLength: number;
  readonly flexuralRigidity: number;
  /** Shear rigidity G A_s; null leaves shear deformation out (Euler-Bernoulli). */
  readonly shearRigidity: number | null;
  /** Rotation of the section about x; given for every segment or for none, and then torsion is left out. */
  readonly torsion?: Torsion;
}

/** St. Venant torsion of a section. */
export interface Torsion {
  /** G J, N m2. */
  readonly rigidity: number;
  /** Mass moment of inertia about x per metre, kg m, without rail and slab. */
  readonly rotaryInertia: number;
}

/** The deck between two neighbouring supports, as segments in order of x. */
export interface Span {
  readonly segments: readonly DeckSegment[];
}

/** One line of bearings at a support: the deck end it carries, and the side of the axis, right being y > 0 with x forwards and z down. */
export interface BearingPlace {
  /** `only` but at a joint. */
  readonly end: 'left' | 'right' | 'only';
  /** `only` for a support without a bearing spread. */
  readonly side: 'left' | 'right' | 'only';
}

/** A support line: bearings on a pier or abutment with its foundation, a spring in the vertical. */
export interface Support {
  readonly id: string;
  /** Vertical stiffness; Infinity is rigid, 0 is a support that carries nothing any more. */
  readonly stiffness: number;
  /** Imposed downward displacement of the foot of the support. */
  readonly settlement: number;
  /** An expansion joint: the deck is cut here and both ends bear on this support. End supports are always ends of the deck. */
  readonly joint: boolean;
  /** False once the bearings are lost: the deck is held neither up nor down here and the two ends at a joint part. */
  readonly bearing: boolean;
  /**
   * Distance of two bearings that stand either side of the axis and share the stiffness; they hold the rotation about x. Absent: one
   * bearing under the axis, on which the deck may turn.
   */
  readonly bearingSpread?: number;
  /** One of two bearings is lost, at both deck ends of a joint. */
  readonly lostBearing?: 'left' | 'right';
  /** Bearings that have lifted off while others here still bear; only set while lift-off is being solved. */
  readonly lifted?: readonly BearingPlace[];
  /** Tension the support can take before the deck lifts off, for the support line as a whole. */
  readonly upliftResistance: number;
}

/** What several supports stand on together (a portal, an arch, a truss), condensed on the points that carry them. */
export interface Substructure {
  /** Ids of the supports that stand on it, in the order of the matrices. */
  readonly supports: readonly string[];
  /** Vertical displacement of each support's foot per unit load on each, row by row; symmetric positive definite. */
  readonly flexibility: Float64Array;
  /** Mass condensed on the same points, row by row; null: none. */
  readonly mass: Float64Array | null;
}

/** Both rails together as one beam. */
export interface Rail {
  readonly massPerLength: number;
  readonly flexuralRigidity: number;
  /** m3, of the fibre that is stressed most; absent: stresses are not asked for. */
  readonly sectionModulus?: number;
}

/** A pair of rail seats (both rails), repeated at the spacing. */
export interface Fastening {
  readonly spacing: number;
  readonly stiffness: number;
  readonly damping: number;
  /** What the fastening does beyond the linear range, see SeatLaw; absent: it is linear. */
  readonly clamping?: { readonly force: number; readonly compressionStiffness: number };
}

export interface Slab {
  readonly massPerLength: number;
  readonly flexuralRigidity: number;
  /** Length of a panel between free joints; null is a continuous slab. */
  readonly panelLength: number | null;
}

/** Slab to deck (or to the ground beyond the abutments), per metre of track. */
export interface Bedding {
  readonly stiffnessPerLength: number;
  readonly dampingPerLength: number;
}

/** A stretch, in x along the whole deck, where a share of a spring layer is gone. */
export interface LayerLoss {
  readonly layer: 'fastening' | 'bedding';
  readonly from: number;
  readonly to: number;
  readonly fraction: number;
}

/** What a track bends: its slab, its rails. */
export type TrackLayer = 'slab' | 'rail';

export interface Track {
  readonly rail: Rail;
  readonly fastening: Fastening;
  /** Slab on bedding; both null: the rail is fastened straight to the deck. */
  readonly slab: Slab | null;
  readonly bedding: Bedding | null;
  readonly losses: readonly LayerLoss[];
}

/** Where a track lies: distance of its axis from the deck's, positive to the right with x forwards. */
export interface TrackPlace {
  readonly eccentricity: number;
}

/** A viaduct in one state, intact or damaged. One more support than spans. */
export interface Viaduct {
  readonly spans: readonly Span[];
  readonly supports: readonly Support[];
  /** Absent: every support stands on ground of its own. */
  readonly substructure?: Substructure;
  /** What a track is made of, each of them. Null: loads act on the deck itself. */
  readonly track: Track | null;
  /** Absent: one track on the axis of the deck. Off the axis only where the segments have torsion. */
  readonly tracks?: readonly TrackPlace[];
  /** Modal damping ratio of the deck. */
  readonly dampingRatio: number;
}

/** What happened to a structure; the effects of one damage case combine. */
export type DamageEffect =
  | { readonly kind: 'support-stiffness-loss'; readonly support: string; readonly fraction: number }
  | { readonly kind: 'support-settlement'; readonly support: string; readonly settlement: number }
  | {
      readonly kind: 'bearing-loss';
      readonly support: string;
      /** One of two bearings; absent: the whole support line. */
      readonly side?: 'left' | 'right';
    }
  | {
      readonly kind: 'deck-stiffness-loss';
      /** Index from 0. */
      readonly span: number;
      /** From the start of the span. */
      readonly from: number;
      readonly to: number;
      readonly fraction: number;
    }
  | { readonly kind: 'bedding-loss'; readonly from: number; readonly to: number; readonly fraction: number }
  | {
      readonly kind: 'fastening-loss';
      readonly from: number;
      readonly to: number;
      readonly fraction: number;
    };

/** A row of constant axle forces. */
export interface MovingTrain {
  readonly id: string;
  readonly class: string;
  /** Distance of each axle behind the leading one, ascending from 0. */
  readonly positions: Float64Array;
  /** Static axle loads. */
  readonly loads: Float64Array;
}

/**
 * A static load model of the code (LM71, SW/0, SW/2): a group of axles and line loads placed wherever they are worst,
 * multiplied by a dynamic factor, at any speed.
 */
export interface StaticLoadModel {
  readonly id: string;
  readonly class: string;
  /** Axles of the group, positions from the group's first axle. */
  readonly positions: Float64Array;
  readonly loads: Float64Array;
  /** Line loads that may be placed where they are adverse. */
  readonly lineLoads: readonly {
    readonly load: number;
    /** Length of each block; null is unlimited and interruptible (adverse parts of the influence line only). */
    readonly length: number | null;
    /** Free gap to the group's outer axles, or between blocks where there are no axles. */
    readonly gap: number;
  }[];
  /** Multiplies every effect but those of `trackFactor`; already contains the code's dynamic factor. */
  readonly dynamicFactor: number;
  /** Multiplies moments of slab and rails, which are shorter members than the deck. */
  readonly trackFactor: number;
}
