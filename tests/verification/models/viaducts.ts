import type {
  DeckSegment,
  MovingTrain,
  Span,
  Support,
  Track,
  Viaduct,
} from '../../../solver/viaduct/model.js';

/** Uniform Euler-Bernoulli deck of the examples: a single-track concrete box, invented. */
export const concreteDeck = { massPerLength: 15_000, flexuralRigidity: 1.1e11 } as const;

export function segment(length: number, changes: Partial<DeckSegment> = {}): DeckSegment {
  return { length, ...concreteDeck, shearRigidity: null, ...changes };
}

export function uniformSpans(lengths: readonly number[], changes: Partial<DeckSegment> = {}): Span[] {
  return lengths.map((length) => ({ segments: [segment(length, changes)] }));
}

export function support(id: string, changes: Partial<Support> = {}): Support {
  return {
    id,
    stiffness: Number.POSITIVE_INFINITY,
    settlement: 0,
    joint: false,
    bearing: true,
    upliftResistance: 0,
    ...changes,
  };
}

/** A deck on rigid supports S0, S1, ..., continuous and undamped unless changed. */
export function viaductOf(
  spans: readonly Span[],
  changes: Partial<Viaduct> & { readonly supportChanges?: Readonly<Record<number, Partial<Support>>> } = {},
): Viaduct {
  const { supportChanges, ...rest } = changes;
  const supports = Array.from({ length: spans.length + 1 }, (_, index) =>
    support(`S${index}`, supportChanges?.[index] ?? {}),
  );
  return { spans, supports, track: null, dampingRatio: 0, ...rest };
}

/** Axle forces of one size at the given distances behind the first. */
export function trainOf(positions: readonly number[], load: number | readonly number[]): MovingTrain {
  return {
    id: 'train',
    class: 'passenger',
    positions: Float64Array.from(positions),
    loads: Float64Array.from(positions, (_, axle) => (typeof load === 'number' ? load : load[axle]!)),
  };
}

/** Slab track of design values, undamped unless changed. */
export function slabTrack(changes: Partial<Track> = {}): Track {
  return {
    rail: { massPerLength: 120, flexuralRigidity: 12.76e6 },
    fastening: { spacing: 0.65, stiffness: 80e6, damping: 0 },
    slab: { massPerLength: 1600, flexuralRigidity: 2.3e8, panelLength: null },
    bedding: { stiffnessPerLength: 6e7, dampingPerLength: 0 },
    losses: [],
    ...changes,
  };
}

/** Slab track with the dashpots of fastening and bedding, and a bedding that keeps slab modes above 30 Hz. */
export function dampedSlabTrack(changes: Partial<Track> = {}): Track {
  return slabTrack({
    fastening: { spacing: 0.65, stiffness: 80e6, damping: 60e3 },
    bedding: { stiffnessPerLength: 1e8, dampingPerLength: 5e4 },
    ...changes,
  });
}

/** Rails fastened straight to the deck. */
export function directTrack(changes: Partial<Track> = {}): Track {
  return slabTrack({ slab: null, bedding: null, ...changes });
}

/** The viaduct seen from the other side of the valley. */
export function mirrored(viaduct: Viaduct): Viaduct {
  const length = viaduct.spans.reduce(
    (sum, span) => sum + span.segments.reduce((part, one) => part + one.length, 0),
    0,
  );
  return {
    ...viaduct,
    spans: [...viaduct.spans].reverse().map((span) => ({ segments: [...span.segments].reverse() })),
    supports: [...viaduct.supports].reverse(),
    track: viaduct.track && {
      ...viaduct.track,
      losses: viaduct.track.losses.map((loss) => ({
        ...loss,
        from: length - loss.to,
        to: length - loss.from,
      })),
    },
  };
}
