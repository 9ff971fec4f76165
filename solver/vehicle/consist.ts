/**
 * A train as rigid bodies on springs, moving in the vertical plane along the track. Positions are metres behind the leading axle, a
 * body's own position is that of its centre of mass. Displacements are from static equilibrium on level track, downwards positive; a
 * pitch is positive when the leading end goes down.
 */
export interface RigidBody {
  readonly mass: number;
  /** About the centre of mass; null: the body only heaves (a wheelset, a single mass). */
  readonly pitchInertia: number | null;
  readonly position: number;
}

/** Spring and dashpot in parallel between two bodies, vertical, at one position. */
export interface Suspension {
  readonly upper: number;
  readonly lower: number;
  readonly position: number;
  readonly stiffness: number;
  readonly damping: number;
}

/** Where a body stands on the rail: a wheelset, both wheels together. */
export interface WheelContact {
  readonly body: number;
  readonly position: number;
  /** Static load on both rails together. */
  readonly load: number;
  /** Linearised Hertz spring of both contacts together. */
  readonly stiffness: number;
}

/** Where passengers feel the ride. */
export interface FloorPoint {
  readonly body: number;
  readonly position: number;
  /** E.g. "car 3, over the leading bogie". */
  readonly name: string;
}

export interface Consist {
  readonly bodies: readonly RigidBody[];
  readonly suspensions: readonly Suspension[];
  /** Ascending in position from 0. */
  readonly wheels: readonly WheelContact[];
  readonly floor: readonly FloorPoint[];
}
