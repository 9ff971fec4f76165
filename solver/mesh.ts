import type { BeamProperties } from './beam-element.js';
import { buildGrid, type Grid, spanLength } from './grid.js';
import type { Support, Viaduct } from './model.js';

/** A node's degrees of freedom; -1 is held. Two deck ends that bear on the same support share their deflection. */
export interface Node {
  readonly deflection: number;
  readonly rotation: number;
}

export interface BeamElement extends BeamProperties {
  readonly start: Node;
  readonly end: Node;
  readonly x: number;
}

/** A spring between the deflections of two nodes; `lower` null is the ground. */
export interface LayerSpring {
  readonly kind: 'fastening' | 'bedding';
  readonly x: number;
  readonly upper: Node;
  readonly lower: Node | null;
  readonly stiffness: number;
  readonly damping: number;
  /** Which side of its node the stretch of bedding lies that the spring stands for; `only` for one seat. */
  readonly side: 'left' | 'right' | 'only';
}

export interface SupportNode {
  readonly support: Support;
  readonly gridIndex: number;
  /** The deck's ends or its continuous node here: one node, or two at a joint. */
  readonly nodes: readonly Node[];
  /** Degree of freedom of the support's head; -1 when held or lost. */
  readonly deflection: number;
  /** Spring on the shared deflection; 0 when rigid (held) or lost. */
  readonly stiffness: number;
  /** The deck rests on something here. */
  readonly carries: boolean;
}

/** The finite element mesh of one state of the viaduct. */
export interface Mesh {
  readonly grid: Grid;
  readonly size: number;
  readonly halfBandwidth: number;
  readonly deck: readonly BeamElement[];
  readonly slab: readonly BeamElement[];
  readonly rail: readonly BeamElement[];
  readonly springs: readonly LayerSpring[];
  readonly supports: readonly SupportNode[];
  /** Deck node at each grid index, as seen from the element on its left and on its right; null off the deck. */
  readonly deckLeft: readonly (Node | null)[];
  readonly deckRight: readonly (Node | null)[];
  readonly slabNodes: readonly (Node | null)[];
  /** Span of each deck element, by index. */
  readonly deckSpan: Int32Array;
  readonly length: number;
}

export interface MeshOptions {
  /** Hz. */
  readonly highestFrequency: number;
  readonly refinement?: number;
}

/** Nodes are numbered along x, all layers of one position together, which keeps the band narrow. */
export function buildMesh(viaduct: Viaduct, options: MeshOptions): Mesh {
  const grid = buildGrid(viaduct, options.highestFrequency, options.refinement ?? 1);
  const { track } = viaduct;
  const count = grid.x.length;
  const first = grid.supports[0]!;
  const last = grid.supports[grid.supports.length - 1]!;
  const supportAt = new Map(Array.from(grid.supports, (index, support) => [index, support]));
  const panelJoints = new Set(grid.panelJoints);

  let size = 0;
  const free = (): Node => ({ deflection: size++, rotation: size++ });
  const deckLeft: (Node | null)[] = new Array(count).fill(null);
  const deckRight: (Node | null)[] = new Array(count).fill(null);
  const slabLeft: (Node | null)[] = new Array(count).fill(null);
  const slabRight: (Node | null)[] = new Array(count).fill(null);
  const railNodes: (Node | null)[] = new Array(count).fill(null);
  const supports: SupportNode[] = [];

  for (let i = 0; i < count; i++) {
    if (i >= first && i <= last) {
      const supportIndex = supportAt.get(i);
      if (supportIndex === undefined) {
        const node = free();
        deckLeft[i] = node;
        deckRight[i] = node;
      } else {
        const support = viaduct.supports[supportIndex]!;
        const carries = support.bearing && support.stiffness > 0;
        const held = carries && !Number.isFinite(support.stiffness);
        const shared = (deflection: number): Node => ({ deflection, rotation: size++ });
        const cut = support.joint && i !== first && i !== last;
        const common = carries && !held ? size++ : -1;
        const left = carries && support.lifted !== 'left' ? shared(common) : free();
        const right = !cut ? left : carries && support.lifted !== 'right' ? shared(common) : free();
        deckLeft[i] = i === first ? null : left;
        deckRight[i] = i === last ? null : right;
        supports.push({
          support,
          gridIndex: i,
          nodes: cut ? [left, right] : [left],
          deflection: common,
          stiffness: carries && !held ? support.stiffness : 0,
          carries,
        });
      }
    }
    if (track?.slab) {
      const node = free();
      slabLeft[i] = node;
      slabRight[i] = panelJoints.has(i) ? free() : node;
    }
    if (track) railNodes[i] = free();
  }

  const deck: BeamElement[] = [];
  const slab: BeamElement[] = [];
  const rail: BeamElement[] = [];
  const deckSpan: number[] = [];
  const section = deckSections(viaduct);
  for (let i = 0; i + 1 < count; i++) {
    const x = grid.x[i]!;
    const length = grid.x[i + 1]! - x;
    if (i >= first && i < last) {
      const { segment, span } = section(x + length / 2);
      deck.push({ x, length, start: deckRight[i]!, end: deckLeft[i + 1]!, ...beamOf(segment) });
      deckSpan.push(span);
    }
    if (track?.slab)
      slab.push({ x, length, start: slabRight[i]!, end: slabLeft[i + 1]!, ...beamOf(track.slab) });
    if (track) rail.push({ x, length, start: railNodes[i]!, end: railNodes[i + 1]!, ...beamOf(track.rail) });
  }

  const springs: LayerSpring[] = [];
  if (track) {
    const onSlab = track.slab !== null;
    for (let seat = 0; seat < grid.seats.length; seat++) {
      const i = grid.seats[seat]!;
      const x = grid.x[i]!;
      const share =
        (grid.seatSpacing[seat]! / track.fastening.spacing) * remainingAt(track.losses, 'fastening', x, x);
      springs.push({
        kind: 'fastening',
        x,
        upper: railNodes[i]!,
        lower: onSlab ? slabLeft[i]! : (deckRight[i] ?? null),
        stiffness: track.fastening.stiffness * share,
        damping: track.fastening.damping * share,
        side: 'only',
      });
    }
    if (track.slab && track.bedding) {
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
            upper,
            lower,
            stiffness: track.bedding.stiffnessPerLength * share,
            damping: track.bedding.dampingPerLength * share,
            side,
          });
        }
      }
    }
  }

  let halfBandwidth = 1;
  const spread = (...nodes: (Node | null)[]) => {
    const used = nodes
      .flatMap((node) => (node ? [node.deflection, node.rotation] : []))
      .filter((dof) => dof >= 0);
    halfBandwidth = Math.max(halfBandwidth, Math.max(...used) - Math.min(...used));
  };
  for (const element of [...deck, ...slab, ...rail]) spread(element.start, element.end);
  for (const spring of springs) spread(spring.upper, spring.lower);

  return {
    grid,
    size,
    halfBandwidth,
    deck,
    slab,
    rail,
    springs,
    supports,
    deckLeft,
    deckRight,
    slabNodes: slabLeft,
    deckSpan: Int32Array.from(deckSpan),
    length: viaduct.spans.reduce((sum, span) => sum + spanLength(span), 0),
  };
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
  const ends: { end: number; span: number; segment: Viaduct['spans'][number]['segments'][number] }[] = [];
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

/** Share of a layer left over [from, to], the mean over the stretch; a point when from = to. */
function remainingAt(
  losses: NonNullable<Viaduct['track']>['losses'],
  layer: 'fastening' | 'bedding',
  from: number,
  to: number,
): number {
  let remaining = 1;
  for (const loss of losses) {
    if (loss.layer !== layer) continue;
    const overlap = Math.min(to, loss.to) - Math.max(from, loss.from);
    if (from === to ? overlap >= -1e-9 : overlap > 0)
      remaining *= 1 - loss.fraction * (from === to ? 1 : overlap / (to - from));
  }
  return remaining;
}
