import type { Consist } from '../solver/vehicle/consist.js';
import type { TrackIrregularity } from '../solver/vehicle/track-irregularity.js';
import type { DamageEffect, MovingTrain, StaticLoadModel, Viaduct } from '../solver/viaduct/model.js';
import type { CheckId } from './result.js';

/**
 * A scenario translated for the worker: SI units, defaults filled in, load models and limit sets resolved.
 * Speeds alone stay in km/h, the unit every limit and every decision is written in.
 */

export interface SpanResistance {
  readonly sagging: number | null;
  readonly hogging: number | null;
  readonly shear: number | null;
}

/** N m, per track; both rails together. */
export interface TrackResistance {
  readonly slabSagging: number | null;
  readonly slabHogging: number | null;
  readonly rail: number | null;
}

export interface Resistance {
  /** One entry per span, in order; null where nothing was given for the span. */
  readonly spans: readonly (SpanResistance | null)[];
  /** Compression each support can carry, by support id. */
  readonly supportReaction: ReadonlyMap<string, number>;
  readonly track: TrackResistance;
}

/** One value of a limit that may depend on speed: applies up to and including `upTo` km/h (Infinity: to any speed). */
export interface LimitStep {
  readonly upToKmh: number;
  /** In the check's own unit (see `unit`); for `deck-deflection` with `perSpan` the divisor n of L/n. */
  readonly value: number;
}

export interface Limit {
  readonly check: CheckId;
  readonly kind: 'safety' | 'comfort';
  readonly unit: string;
  /** Ascending in upToKmh. Beyond the last step nothing is permitted. */
  readonly steps: readonly LimitStep[];
  /** Only for deck-deflection: the limit is span length / value. */
  readonly perSpan: boolean;
  readonly source: string;
}

export type LimitSet = ReadonlyMap<CheckId, Limit>;

export interface DamageCase {
  readonly id: string;
  readonly title: string | null;
  readonly effects: readonly DamageEffect[];
  /**
   * What the structure can carry in this state; null when nothing was given. A span entry is null, and a support absent, where
   * it is not known, which in a damaged case is missing evidence.
   */
  readonly resistance: Resistance | null;
  /** Supports that the case has touched and that are still judged by what they could carry before. */
  readonly supportsJudgedAsBuilt: readonly string[];
}

/** Factors on nominal properties; every combination is assessed and the worst decides. Always contains the nominal 1. */
export interface Bounds {
  readonly stiffnessFactors: readonly number[];
  readonly massFactors: readonly number[];
  readonly dampingFactors: readonly number[];
}

export interface AssessmentModel {
  readonly title: string;
  readonly lineSpeedKmh: number;
  /** Null when the scenario gives no chainage. */
  readonly startChainageKm: number | null;
  readonly viaduct: Viaduct;
  /** Whether trains of one kind are on all tracks at once, or on any one of them. */
  readonly meeting: 'all-tracks' | 'one-track';
  /** What vehicles run over beside what damage did to the rail, and the same in words; null: a rail that is level as built. */
  readonly irregularity: { readonly rail: TrackIrregularity; readonly description: string } | null;
  readonly trains: readonly (
    | {
        readonly kind: 'moving';
        /** Static axle loads; of a train of vehicles, those of its wheelsets. */
        readonly train: MovingTrain;
        /** Not null: the train runs on its springs, coupled with the structure. */
        readonly consist: Consist | null;
      }
    | {
        readonly kind: 'static';
        readonly model: StaticLoadModel;
        /** Of faster trains the load model says nothing, overspeed included. */
        readonly upToKmh: number;
      }
  )[];
  /** 'intact' first, always. */
  readonly damageCases: readonly DamageCase[];
  /** Of the intact structure; each damage case carries its own. */
  readonly resistance: Resistance | null;
  readonly limits: LimitSet;
  /** Ascending grid, every requested speed; the highest is the end of the sweep. */
  readonly speedsKmh: readonly number[];
  readonly overspeedFactor: number;
  readonly roundDownToKmh: number;
  readonly bounds: Bounds;
}
