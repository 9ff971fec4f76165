import type { Matrix } from 'ml-matrix';
import { assembleDense, type DenseSystem, type Frame, freedomsOf, hermite } from './dense-frame.js';

interface Beam {
  readonly massPerLength: number;
  readonly flexuralRigidity: number;
}

/** A layer of springs and dashpots, N and m. */
interface Layer {
  readonly stiffness: number;
  readonly damping: number;
}

/** A simple span with a track that goes on over unyielding ground before and after it; the first seat lies half a bay from the support. */
export interface TrackOverSpan {
  /** m between seats. */
  readonly spacing: number;
  readonly seats: number;
  /** Seats before the span, and as many after it. */
  readonly approachSeats: number;
  readonly deck: Beam;
  readonly rail: Beam;
  /** Per seat. */
  readonly fastening: Layer;
  /** Null: rails fastened straight to the deck. Per m of track. */
  readonly slab: (Beam & { readonly bedding: Layer }) | null;
  /** Fastenings between two x of which a fraction is gone. */
  readonly loss: { readonly from: number; readonly to: number; readonly fraction: number };
}

/** Matrices of it, and the weight of each freedom in the deflection of the rail at x. */
export interface DenseTrack {
  readonly system: DenseSystem;
  readonly dashpots: Matrix;
  /** x of the first node of the rail. */
  readonly start: number;
  shapesAt(x: number): Float64Array;
}

/** Rail nodes at every seat and in the middle of every bay; slab and deck have nodes under every seat, the deck at its supports as well. */
export function denseTrack(track: TrackOverSpan): DenseTrack {
  const { spacing, seats, approachSeats, deck, rail, fastening, slab, loss } = track;
  const length = seats * spacing;
  const bays = seats + 2 * approachSeats - 1;
  const railX = Array.from({ length: 2 * bays + 1 }, (_, k) => (k / 2 - approachSeats + 0.5) * spacing);
  const deckX = [0, ...Array.from({ length: seats }, (_, k) => (k + 0.5) * spacing), length];
  const firstRail = deckX.length;
  const firstSlab = firstRail + railX.length;
  const seatX = railX.filter((_, k) => k % 2 === 0);
  const beams = (first: number, x: readonly number[], beam: Beam) =>
    x.slice(1).map((to, k) => ({
      from: first + k,
      to: first + k + 1,
      length: to - x[k]!,
      massPerLength: beam.massPerLength,
      flexuralRigidity: beam.flexuralRigidity,
    }));
  const rails = beams(firstRail, railX, rail);
  const elements = [...beams(0, deckX, deck), ...rails, ...(slab ? beams(firstSlab, seatX, slab) : [])];
  const frame = (of: keyof Layer): Frame => ({
    nodes: firstSlab + (slab ? seatX.length : 0),
    elements: of === 'stiffness' ? elements : [],
    springs: seatX.flatMap((x, k) => {
      const seat = k - approachSeats;
      const below = seat >= 0 && seat < seats ? 2 * (seat + 1) : null;
      const left = x > loss.from && x < loss.to ? 1 - loss.fraction : 1;
      const upper = 2 * (firstRail + 2 * k);
      if (!slab) return [{ upper, lower: below, stiffness: fastening[of] * left }];
      const bed = 2 * (firstSlab + k);
      return [
        { upper, lower: bed, stiffness: fastening[of] * left },
        { upper: bed, lower: below, stiffness: slab.bedding[of] * spacing },
      ];
    }),
    held: [0, 2 * (deckX.length - 1)],
  });
  const system = assembleDense(frame('stiffness'));
  const { rowOf } = system;
  const start = railX[0]!;
  const shapesAt = (x: number) => {
    const weights = new Float64Array(system.stiffness.rows);
    const index = Math.min(rails.length - 1, Math.floor((2 * (x - start)) / spacing));
    const element = rails[index]!;
    hermite(element.length, x - railX[index]!).forEach((shape, k) => {
      weights[rowOf[freedomsOf(element)[k]!]!]! += shape;
    });
    return weights;
  };
  return { system, dashpots: assembleDense(frame('damping')).stiffness, start, shapesAt };
}
