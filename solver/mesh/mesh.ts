import type { DeckSegment, Track, Viaduct } from '../viaduct/model.js';
import { type CondensedSubstructure, condenseOnHeads } from '../viaduct/substructure.js';
import type { BeamProperties } from './beam-element.js';
import { buildGrid, type Grid, type MeshOptions, spanLength } from './grid.js';
import { type MeshNodes, type Node, numberNodes, type PointSpring, type SupportNode } from './mesh-nodes.js';

export interface BeamElement extends BeamProperties {
  readonly start: Node;
  readonly end: Node;
  readonly x: number;
}

/** A spring between two nodes: what it presses on is the lower one's deflection at the eccentricity; `lower` null is the ground. */
export interface LayerSpring {
  readonly kind: 'fastening' | 'bedding';
  readonly x: number;
  /** Index of the track. */
  readonly track: number;
  /** y of the spring where the lower node is the deck's; 0 between rail and slab. */
  readonly eccentricity: number;
  readonly upper: Node;
  readonly lower: Node | null;
  readonly stiffness: number;
  readonly damping: number;
  /** Which side of its node the stretch of bedding lies that the spring stands for; `only` for one seat. */
  readonly side: 'left' | 'right' | 'only';
}

/** Torsion of a deck element; linear in between, exact at the nodes under torques there. */
export interface TorsionElement {
  readonly start: Node;
  readonly end: Node;
  readonly length: number;
  readonly rigidity: number;
  readonly rotaryInertia: number;
}

/** One track: its layers in order of x. */
export interface TrackMesh {
  readonly eccentricity: number;
  readonly slab: readonly BeamElement[];
  readonly rail: readonly BeamElement[];
  readonly slabNodes: readonly (Node | null)[];
}

/** Springs, and mass, between the heads of supports that stand on one substructure. */
export interface Coupling {
  /** Each head as a sum of displacements. */
  readonly heads: readonly Pick<PointSpring, 'freedoms' | 'weights'>[];
  /** N/m and kg, heads x heads, row by row. */
  readonly stiffness: Float64Array;
  readonly mass: Float64Array | null;
}

/** The finite element mesh of one state of the viaduct. */
export interface Mesh {
  readonly grid: Grid;
  readonly size: number;
  readonly halfBandwidth: number;
  /** The last degrees of freedom, which are coupled over any distance and stand outside the band. */
  readonly border: number;
  readonly deck: readonly BeamElement[];
  /** Of each deck element; empty where torsion is left out. */
  readonly torsion: readonly TorsionElement[];
  /** Empty without a track. */
  readonly tracks: readonly TrackMesh[];
  /** Of all tracks together. */
  readonly slab: readonly BeamElement[];
  readonly rail: readonly BeamElement[];
  readonly springs: readonly LayerSpring[];
  readonly supports: readonly SupportNode[];
  /** What the substructure does at the heads of the supports on it; null without one. */
  readonly coupling: Coupling | null;
  /** Deck node at each grid index, as seen from the element on its left and on its right; null off the deck. */
  readonly deckLeft: readonly (Node | null)[];
  readonly deckRight: readonly (Node | null)[];
  /** Span of each deck element, by index. */
  readonly deckSpan: Int32Array;
  readonly length: number;
}

/** Builds the mesh; how its degrees of freedom are numbered is told in numberNodes. */
export function buildMesh(viaduct: Viaduct, options: MeshOptions): Mesh {
  const grid = buildGrid(viaduct, options);
  const condensed = viaduct.substructure ? condenseOnHeads(viaduct.substructure, viaduct.supports) : null;
  const counted = numberNodes(viaduct, grid, condensed, 0);
  const nodes = condensed ? numberNodes(viaduct, grid, condensed, counted.size - counted.border) : counted;
  const { deck, torsion, deckSpan } = deckElements(viaduct, grid, nodes);
  const tracks = trackLayers(viaduct, grid, nodes);
  const slab = tracks.flatMap((one) => one.slab);
  const rail = tracks.flatMap((one) => one.rail);
  const springs = viaduct.track ? trackSprings(viaduct.track, grid, nodes, tracks) : [];
  const inner = nodes.size - nodes.border;
  return {
    grid,
    size: nodes.size,
    halfBandwidth: widestReach(inner, [...deck, ...slab, ...rail], springs, nodes.supports),
    border: nodes.border,
    deck,
    torsion,
    tracks,
    slab,
    rail,
    springs,
    supports: nodes.supports,
    coupling: condensed && couplingOf(condensed, nodes.supports),
    deckLeft: nodes.deckLeft,
    deckRight: nodes.deckRight,
    deckSpan: Int32Array.from(deckSpan),
    length: viaduct.spans.reduce((sum, span) => sum + spanLength(span), 0),
  };
}

function deckElements(viaduct: Viaduct, { x: grid, supports }: Grid, { deckLeft, deckRight }: MeshNodes) {
  const deck: BeamElement[] = [];
  const torsion: TorsionElement[] = [];
  const deckSpan: number[] = [];
  const section = deckSections(viaduct);
  for (let i = supports[0]!; i < supports[supports.length - 1]!; i++) {
    const x = grid[i]!;
    const length = grid[i + 1]! - x;
    const ends = { start: deckRight[i]!, end: deckLeft[i + 1]! };
    const { segment, span } = section(x + length / 2);
    deck.push({ x, length, ...ends, ...beamOf(segment) });
    if (segment.torsion) torsion.push({ length, ...ends, ...segment.torsion });
    deckSpan.push(span);
  }
  return { deck, torsion, deckSpan };
}

function trackLayers(viaduct: Viaduct, { x: grid }: Grid, nodes: MeshNodes): TrackMesh[] {
  const { track } = viaduct;
  if (!track) return [];
  return nodes.tracks.map(({ slabLeft, slabRight, rail: railNodes }, index) => {
    const slab: BeamElement[] = [];
    const rail: BeamElement[] = [];
    for (let i = 0; i + 1 < grid.length; i++) {
      const x = grid[i]!;
      const length = grid[i + 1]! - x;
      if (track.slab)
        slab.push({ x, length, start: slabRight[i]!, end: slabLeft[i + 1]!, ...beamOf(track.slab) });
      rail.push({ x, length, start: railNodes[i]!, end: railNodes[i + 1]!, ...beamOf(track.rail) });
    }
    return { eccentricity: viaduct.tracks?.[index]?.eccentricity ?? 0, slab, rail, slabNodes: slabLeft };
  });
}

function trackSprings(
  track: Track,
  grid: Grid,
  { deckLeft, deckRight, tracks }: MeshNodes,
  layers: readonly TrackMesh[],
): LayerSpring[] {
  const count = grid.x.length;
  return tracks.flatMap(({ slabLeft, slabRight, rail }, index) => {
    const springs: LayerSpring[] = [];
    const { eccentricity } = layers[index]!;
    for (let seat = 0; seat < grid.seats.length; seat++) {
      const i = grid.seats[seat]!;
      const x = grid.x[i]!;
      const share =
        (grid.seatSpacing[seat]! / track.fastening.spacing) * remainingAt(track.losses, 'fastening', x, x);
      springs.push({
        kind: 'fastening',
        x,
        track: index,
        eccentricity: track.slab ? 0 : eccentricity,
        upper: rail[i]!,
        lower: track.slab ? slabLeft[i]! : (deckRight[i] ?? null),
        stiffness: track.fastening.stiffness * share,
        damping: track.fastening.damping * share,
        side: 'only',
      });
    }
    if (!track.slab || !track.bedding) return springs;
    for (let i = 0; i < count; i++) {
      const before = i > 0 ? (grid.x[i]! - grid.x[i - 1]!) / 2 : 0;
      const after = i + 1 < count ? (grid.x[i + 1]! - grid.x[i]!) / 2 : 0;
      const sides: [Node, number, number, Node | null, 'left' | 'right'][] = [
        [slabLeft[i]!, grid.x[i]! - before, grid.x[i]!, deckLeft[i] ?? null, 'left'],
        [slabRight[i]!, grid.x[i]!, grid.x[i]! + after, deckRight[i] ?? null, 'right'],
      ];
      for (const [upper, from, to, lower, side] of sides) {
        if (to <= from) continue;
        const share = (to - from) * remainingAt(track.losses, 'bedding', from, to);
        springs.push({
          kind: 'bedding',
          x: grid.x[i]!,
          track: index,
          eccentricity,
          upper,
          lower,
          stiffness: track.bedding.stiffnessPerLength * share,
          damping: track.bedding.dampingPerLength * share,
          side,
        });
      }
    }
    return springs;
  });
}

function couplingOf(
  { supports, stiffness, mass }: CondensedSubstructure,
  nodes: readonly SupportNode[],
): Coupling {
  const heads = supports.map((support) => nodes[support]!.onSubstructure!);
  return { heads, stiffness, mass };
}

/** Largest distance in numbers of two freedoms that anything but the substructure couples, those on it aside. */
function widestReach(
  inner: number,
  elements: readonly BeamElement[],
  springs: readonly LayerSpring[],
  supports: readonly SupportNode[],
): number {
  let widest = 1;
  for (const { start, end } of elements)
    widest = Math.max(widest, reachOf([...freedomsOf(start), ...freedomsOf(end)], inner));
  for (const { upper, lower } of springs)
    if (lower) widest = Math.max(widest, reachOf([...freedomsOf(upper), ...freedomsOf(lower)], inner));
  for (const { oneSided } of supports)
    for (const { freedoms } of oneSided) widest = Math.max(widest, reachOf(freedoms, inner));
  return widest;
}

const freedomsOf = ({ deflection, rotation, twist }: Node): readonly number[] => [
  deflection,
  rotation,
  twist,
];

/** Between the first and the last of some freedoms, held ones and those from `inner` on left out. */
function reachOf(freedoms: readonly number[], inner: number): number {
  let least = inner;
  let most = 0;
  for (const freedom of freedoms) {
    if (freedom < 0 || freedom >= inner) continue;
    least = Math.min(least, freedom);
    most = Math.max(most, freedom);
  }
  return most - least;
}

function beamOf(beam: { flexuralRigidity: number; massPerLength: number; shearRigidity?: number | null }) {
  return {
    flexuralRigidity: beam.flexuralRigidity,
    massPerLength: beam.massPerLength,
    shearRigidity: beam.shearRigidity ?? null,
  };
}

/** Finds the segment at x; called with ascending x. */
function deckSections(viaduct: Viaduct) {
  const ends: { end: number; span: number; segment: DeckSegment }[] = [];
  let end = 0;
  viaduct.spans.forEach((span, index) => {
    for (const segment of span.segments) {
      end += segment.length;
      ends.push({ end, span: index, segment });
    }
  });
  let cursor = 0;
  return (x: number) => {
    while (cursor + 1 < ends.length && x > ends[cursor]!.end) cursor++;
    return ends[cursor]!;
  };
}

/** A share below this holds nothing: what stood on it would only look as if it stood. */
export const nothingLeft = 1e-9;

/**
 * Share of a layer left over [from, to], the mean over the stretch; a point when from = to. Losses multiply where they overlap and nowhere
 * else: two that adjoin leave as much as one of both lengths.
 */
export function remainingAt(
  losses: Track['losses'],
  layer: 'fastening' | 'bedding',
  from: number,
  to: number,
): number {
  const here = losses.filter(
    (loss) => loss.layer === layer && loss.from <= to + atEdge && loss.to >= from - atEdge,
  );
  if (here.length === 0) return 1;
  const leftAt = (x: number) =>
    here.reduce(
      (left, loss) => (loss.from <= x + atEdge && loss.to >= x - atEdge ? left * (1 - loss.fraction) : left),
      1,
    );
  const edges = [from, to];
  for (const loss of here)
    for (const edge of [loss.from, loss.to]) if (edge > from && edge < to) edges.push(edge);
  edges.sort((a, b) => a - b);
  let remaining = from === to ? leftAt(from) : 0;
  for (let k = 0; from < to && k + 1 < edges.length; k++) {
    const [start, end] = [edges[k]!, edges[k + 1]!];
    remaining += ((end - start) / (to - from)) * leftAt((start + end) / 2);
  }
  return remaining < nothingLeft ? 0 : remaining;
}

/** m: nearer to the edge of a loss a seat stands on it, and is lost. */
const atEdge = 1e-9;
