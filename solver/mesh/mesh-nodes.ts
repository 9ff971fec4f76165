import {
  bearingOffset,
  bearingStiffness,
  carries,
  rigidBearing,
  standingSides,
} from '../viaduct/bearings.js';
import type { Support, Viaduct } from '../viaduct/model.js';
import type { CondensedSubstructure } from '../viaduct/substructure.js';
import type { Grid } from './grid.js';

/** A node's degrees of freedom; -1 is held. Two deck ends that bear on the same support share their deflection. */
export interface Node {
  readonly deflection: number;
  readonly rotation: number;
  /** Rotation about x, right side down; -1 also for rail and slab and where torsion is left out. */
  readonly twist: number;
}

/** A spring on a sum of displacements, `stiffness` times (sum of weight x displacement - offset). */
export interface PointSpring {
  /** None below 0. */
  readonly freedoms: readonly number[];
  readonly weights: readonly number[];
  readonly stiffness: number;
  /** Imposed displacement of its foot. */
  readonly offset: number;
}

export interface SupportNode {
  readonly support: Support;
  readonly gridIndex: number;
  /** The deck's ends or its continuous node here: one node, or two at a joint. */
  readonly nodes: readonly Node[];
  /** Degree of freedom of the support's head; -1 when held or lost. */
  readonly deflection: number;
  /** Spring on the shared deflection; 0 when rigid (held), on a substructure or lost. */
  readonly stiffness: number;
  /** Rotation of the head about x and the spring on it; -1 and 0 when held, lost, or without two bearings. */
  readonly twist: number;
  readonly twistStiffness: number;
  /** Bearings that stand alone at a deck end, on one side of the axis. */
  readonly oneSided: readonly PointSpring[];
  /** The point that stands on the substructure, as a sum of displacements; null without one. */
  readonly onSubstructure: Pick<PointSpring, 'freedoms' | 'weights'> | null;
  /** The deck rests on something here. */
  readonly carries: boolean;
}

/** Nodes of rail and slab of one track, by grid index. */
export interface TrackNodes {
  readonly slabLeft: readonly (Node | null)[];
  readonly slabRight: readonly (Node | null)[];
  readonly rail: readonly (Node | null)[];
}

export interface MeshNodes {
  readonly size: number;
  /** How many of them stand on the substructure, the last ones. */
  readonly border: number;
  readonly supports: readonly SupportNode[];
  readonly deckLeft: readonly (Node | null)[];
  readonly deckRight: readonly (Node | null)[];
  readonly tracks: readonly TrackNodes[];
}

/**
 * Numbers the degrees of freedom along x, all layers of one position together, which keeps the band narrow.
 *
 * @param firstHead number of the first freedom that stands on a substructure; they follow all others
 */
export function numberNodes(
  viaduct: Viaduct,
  grid: Grid,
  condensed: CondensedSubstructure | null,
  firstHead: number,
): MeshNodes {
  const count = grid.x.length;
  const first = grid.supports[0]!;
  const last = grid.supports[grid.supports.length - 1]!;
  const supportAt = new Map(Array.from(grid.supports, (index, support) => [index, support]));
  const panelJoints = new Set(grid.panelJoints);
  const torsion = hasTorsion(viaduct);
  const places = viaduct.track ? (viaduct.tracks ?? [{ eccentricity: 0 }]) : [];

  let size = 0;
  let heads = firstHead;
  const layer = (): Node => ({ deflection: size++, rotation: size++, twist: -1 });
  const free = (): Node => ({ deflection: size++, rotation: size++, twist: torsion ? size++ : -1 });
  const empty = () => new Array<Node | null>(count).fill(null);
  const deckLeft = empty();
  const deckRight = empty();
  const tracks = places.map(() => ({ slabLeft: empty(), slabRight: empty(), rail: empty() }));
  const supports: SupportNode[] = [];

  const supportNode = (support: Support, index: number, gridIndex: number): SupportNode => {
    const cut = support.joint && gridIndex !== first && gridIndex !== last;
    const ends = cut ? (['left', 'right'] as const) : (['only'] as const);
    const sides = ends.map((end) => standingSides(support, end));
    const pair = torsion && support.bearingSpread !== undefined;
    const whole = (standing: readonly unknown[]) =>
      standing.length === (support.bearingSpread === undefined ? 1 : 2);
    const headed = sides.some(whole);
    const coupled = condensed?.supports.includes(index) ?? false;
    const rigid = !Number.isFinite(support.stiffness);
    const next = () => (coupled ? heads++ : size++);
    const deflection = headed && (coupled || !rigid) ? next() : -1;
    const twist = headed && pair && !rigid ? size++ : -1;
    const oneSided: PointSpring[] = [];
    let onSubstructure: SupportNode['onSubstructure'] =
      coupled && headed ? { freedoms: [deflection], weights: [1] } : null;
    let single: { readonly node: Node; readonly y: number } | null = null;
    const nodes = sides.map((standing): Node => {
      if (whole(standing)) return { deflection, rotation: size++, twist: pair || !torsion ? twist : size++ };
      if (standing.length === 0) return free();
      const y = bearingOffset(support, standing[0]!);
      const alone = coupled && !headed && single === null;
      const node: Node = alone ? { deflection: heads++, rotation: size++, twist: heads++ } : free();
      const point = { freedoms: [node.deflection, node.twist], weights: [1, y] };
      if (alone) onSubstructure = point;
      else if (headed || (single !== null && (coupled || single.y === y))) {
        const other: Pick<Node, 'deflection' | 'twist'> = single?.node ?? { deflection, twist };
        oneSided.push(tieBetween(point, other, y, headed ? support.settlement : 0));
      } else {
        const stiffness = Math.min(bearingStiffness(support), rigidBearing);
        oneSided.push({ ...point, stiffness, offset: support.settlement });
      }
      if (!headed) single ??= { node, y };
      return node;
    });
    const elastic = headed && !coupled && !rigid;
    const spread = support.bearingSpread ?? 0;
    return {
      support,
      gridIndex,
      nodes,
      deflection,
      stiffness: elastic ? support.stiffness : 0,
      twist,
      twistStiffness: twist >= 0 ? (support.stiffness * spread * spread) / 4 : 0,
      oneSided,
      onSubstructure,
      carries: carries(support),
    };
  };

  for (let i = 0; i < count; i++) {
    if (i >= first && i <= last) {
      const index = supportAt.get(i);
      if (index === undefined) {
        const node = free();
        deckLeft[i] = node;
        deckRight[i] = node;
      } else {
        const node = supportNode(viaduct.supports[index]!, index, i);
        deckLeft[i] = i === first ? null : node.nodes[0]!;
        deckRight[i] = i === last ? null : node.nodes[node.nodes.length - 1]!;
        supports.push(node);
      }
    }
    for (const nodes of tracks) {
      if (viaduct.track?.slab) {
        const node = layer();
        nodes.slabLeft[i] = node;
        nodes.slabRight[i] = panelJoints.has(i) ? layer() : node;
      }
      nodes.rail[i] = layer();
    }
  }
  return { size: size + heads - firstHead, border: heads - firstHead, supports, deckLeft, deckRight, tracks };
}

/** Whether the deck's sections may turn about x. */
export function hasTorsion(viaduct: Viaduct): boolean {
  return viaduct.spans[0]!.segments[0]!.torsion !== undefined;
}

/** A rigid link between a point of one deck end and the same point of the head, or of the other end; a held head is where it settled. */
function tieBetween(
  point: Pick<PointSpring, 'freedoms' | 'weights'>,
  other: Pick<Node, 'deflection' | 'twist'>,
  y: number,
  settlement: number,
): PointSpring {
  const parts = [
    [other.deflection, -1],
    [other.twist, -y],
  ].filter(([freedom]) => freedom! >= 0);
  return {
    freedoms: [...point.freedoms, ...parts.map(([freedom]) => freedom!)],
    weights: [...point.weights, ...parts.map(([, weight]) => weight!)],
    stiffness: rigidBearing,
    offset: other.deflection < 0 ? settlement : 0,
  };
}
