import { elementFreedoms, stretchOf } from '../mesh/assembly.js';
import { beamMass, beamStiffness } from '../mesh/beam-element.js';
import type { BeamElement, LayerSpring, Mesh } from '../mesh/mesh.js';
import type { Node, PointSpring } from '../mesh/mesh-nodes.js';
import { torsionInertia, torsionStiffness } from '../mesh/torsion-element.js';
import type { TrackLayer, Viaduct } from '../viaduct/model.js';
import type { DirectPart, Quantity, ResponseRow } from './response-rows.js';

/** Where a row stands, `side` being `only` unless given. */
export type Place = Pick<ResponseRow, 'x' | 'span' | 'support' | 'track' | 'bearing' | 'start'> & {
  readonly side?: ResponseRow['side'];
};

/** What a row takes of the displacements. */
export type RowParts = Pick<ResponseRow, 'freedoms' | 'stiffness' | 'inertia' | 'direct'>;

/** A track as rows name it: nothing to name where it is the only one and on the axis. */
export interface TrackOffset {
  readonly eccentricity: number;
  readonly about: { readonly track?: number };
}

export function trackOffsets(mesh: Mesh, viaduct: Viaduct): readonly TrackOffset[] {
  const tracks = mesh.torsion.length > 0 ? viaduct.tracks : undefined;
  return (
    tracks?.map(({ eccentricity }, track) => ({ eccentricity, about: { track } })) ?? [
      { eccentricity: 0, about: {} },
    ]
  );
}

/** The deflection w + y phi of a node beside the axis; no freedoms where it is held. */
export function deckPoint({ deflection, twist }: Node, y: number): Pick<PointSpring, 'freedoms' | 'weights'> {
  const freedoms: number[] = [];
  const weights: number[] = [];
  if (deflection >= 0) {
    freedoms.push(deflection);
    weights.push(1);
  }
  if (twist >= 0 && y !== 0) {
    freedoms.push(twist);
    weights.push(y);
  }
  return { freedoms, weights };
}

/** A sum of displacements as a row. */
export function sumRow(
  quantity: Quantity,
  place: Place,
  { freedoms, weights }: Pick<PointSpring, 'freedoms' | 'weights'>,
): ResponseRow {
  return {
    quantity,
    side: 'only',
    ...place,
    freedoms,
    stiffness: weights,
    inertia: new Array<number>(weights.length).fill(0),
    direct: [],
  };
}

/** Internal force at one end of a deck element, from the element's own equilibrium. */
export function endRow(
  quantity: 'bending' | 'shear',
  place: Place,
  mesh: Mesh,
  element: number,
  end: 'start' | 'end',
): ResponseRow {
  const component = (end === 'start' ? 0 : 2) + (quantity === 'bending' ? 1 : 0);
  // Sagging M = -EI w'': the start's nodal moment has its sign, the end's the opposite; V = dM/dx the other way round.
  const sign = (quantity === 'bending') === (end === 'start') ? 1 : -1;
  const force = { element: mesh.deck[element]!, component, sign, direct: { element } };
  return { quantity, side: 'only', ...place, ...forceRow([force]) };
}

/** Sagging moment of a track's slab or rail at the end of an element; wheels run on the rail alone. */
export function layerMomentRow(
  layer: TrackLayer,
  place: Place,
  mesh: Mesh,
  track: number,
  element: number,
): ResponseRow {
  const direct = layer === 'rail' ? { element, rail: track } : null;
  const force = { element: mesh.tracks[track]![layer][element]!, component: 3, sign: -1, direct };
  return { quantity: `${layer}-bending`, side: 'only', ...place, ...forceRow([force]) };
}

/**
 * The same of a slab with its bedding spread over the length instead of standing on the nodes: by the moment of the beam fixed at both ends
 * more, p h^2 / 12 (S. P. Timoshenko, Strength of Materials, part I (1955), article 42 (mem)), while the deflections are the same to the
 * fourth order of h. Null at the end of a panel, which turns freely, and where nothing beds it. Where one side has lost some of its
 * bedding, what both sides have counts: the rest bends the stretch beside it as well.
 *
 * @param springs by their upper nodes
 */
export function spreadMomentRow(
  place: Place,
  mesh: Mesh,
  track: number,
  element: number,
  springs: SpringsByNode,
): ResponseRow | null {
  const { slab } = mesh.tracks[track]!;
  const before = slab[element]!;
  const after = slab[element + 1];
  if (!after || after.start !== before.end) return null;
  const sides = (springs.get(before.end) ?? []).filter(({ kind }) => kind === 'bedding');
  const bayOf = ({ side }: LayerSpring) => (side === 'left' ? before : after).length;
  const least = Math.min(...sides.map((spring) => spring.stiffness / bayOf(spring)));
  if (sides.length < 2 || least === 0) return null;
  // Half of the fixed end's moment on either side: the stiffness of a spring is that of half a bay.
  const lengthOf = (spring: LayerSpring) =>
    ((least * bayOf(spring)) / spring.stiffness) * (bayOf(spring) / 12);
  const row = layerMomentRow('slab', place, mesh, track, element);
  const pressed = sides.map((spring) => ({ spring, length: lengthOf(spring) }));
  return { ...row, ...withSprings(row, sides, lengthOf), pressed };
}

/** Sagging moment of the rail midway between two seats, where it is largest under a wheel: the mean of the element's ends and what the wheel adds between them. */
export function railMomentBetweenSeats(
  place: Place,
  mesh: Mesh,
  track: number,
  element: number,
): ResponseRow {
  const beam = mesh.tracks[track]!.rail[element]!;
  const direct = { element, rail: track };
  const parts = forceRow([
    { element: beam, component: 1, sign: 0.5, direct },
    { element: beam, component: 3, sign: -0.5, direct },
  ]);
  const between = { ...direct, shape: 'bubble', factor: 1, at: beam.length / 2 } as const;
  return { quantity: 'rail-bending', side: 'only', ...place, ...parts, direct: [...parts.direct, between] };
}

/**
 * Shear just beside a support: at the element's end, plus what the bedding between the two presses on the deck, which the mesh
 * lumps on the node of the support.
 */
export function shearRow(
  place: Place & { readonly side: 'left' | 'right' },
  mesh: Mesh,
  element: number,
  end: 'start' | 'end',
  springs: SpringsByNode,
): ResponseRow {
  const row = endRow('shear', place, mesh, element, end);
  const between = (springs.get(mesh.deck[element]![end]) ?? []).filter(({ side }) => side === place.side);
  const sign = end === 'start' ? 1 : -1;
  return { ...row, ...withSprings(row, between, () => sign) };
}

export type SpringsByNode = ReadonlyMap<Node, readonly LayerSpring[]>;

/** Springs of all layers by the node at one end of them, in the order of the mesh; those that stand on the ground have no lower one. */
export function springsByNode({ springs }: Mesh, end: 'upper' | 'lower'): SpringsByNode {
  const found = new Map<Node, LayerSpring[]>();
  for (const spring of springs) {
    const node = spring[end];
    if (!node) continue;
    const known = found.get(node);
    if (known) known.push(spring);
    else found.set(node, [spring]);
  }
  return found;
}

/** The form plus the compression of springs, each times its factor. */
function withSprings(
  form: RowParts,
  springs: readonly LayerSpring[],
  factorOf: (spring: LayerSpring) => number,
): RowParts {
  const freedoms = [...form.freedoms];
  const stiffness = [...form.stiffness];
  const inertia = [...form.inertia];
  for (const spring of springs) {
    const stretch = stretchOf(spring);
    const factor = factorOf(spring) * spring.stiffness;
    for (let k = 0; k < stretch.freedoms.length; k++) {
      const freedom = stretch.freedoms[k]!;
      if (freedom < 0 || factor === 0) continue;
      freedoms.push(freedom);
      stiffness.push(factor * stretch.weights[k]!);
      inertia.push(0);
    }
  }
  return { freedoms, stiffness, inertia, direct: form.direct };
}

/** One nodal force of an element, and where loads on the element itself act on it; null: none ever stand there. */
interface NodalForce {
  readonly element: BeamElement;
  readonly component: number;
  readonly sign: number;
  readonly direct: Pick<DirectPart, 'element' | 'rail'> | null;
}

/** Sum of signed nodal forces of elements, minus their consistent loads. */
function forceRow(forces: readonly NodalForce[]): RowParts {
  const freedoms: number[] = [];
  const stiffness: number[] = [];
  const inertia: number[] = [];
  const parts: DirectPart[] = [];
  for (const { element, component, sign, direct } of forces) {
    const matrix = beamStiffness(element);
    const mass = beamMass(element);
    const own = elementFreedoms(element);
    for (let j = 0; j < 4; j++) {
      if (own[j]! < 0) continue;
      freedoms.push(own[j]!);
      stiffness.push(sign * matrix[4 * component + j]!);
      inertia.push(sign * mass[4 * component + j]!);
    }
    if (direct) parts.push({ ...direct, shape: component, factor: -sign });
  }
  return { freedoms, stiffness, inertia, direct: parts };
}

/** Compression on a bearing line: what the deck elements and the track springs at this node press down. */
export function reactionParts(mesh: Mesh, node: Node, springs: SpringsByNode): RowParts {
  const forces: NodalForce[] = [];
  for (let index = 0; index < mesh.deck.length; index++) {
    const element = mesh.deck[index]!;
    const direct = { element: index };
    if (element.start === node) forces.push({ element, component: 0, sign: -1, direct });
    if (element.end === node) forces.push({ element, component: 2, sign: -1, direct });
  }
  return withSprings(forceRow(forces), springs.get(node) ?? [], () => 1);
}

/** Torque about x on the bearings of a deck end, right side down: what deck elements and track springs turn there. */
export function torqueParts(mesh: Mesh, node: Node, springs: SpringsByNode): RowParts {
  const freedoms: number[] = [];
  const stiffness: number[] = [];
  const inertia: number[] = [];
  const direct: DirectPart[] = [];
  mesh.torsion.forEach((element, index) => {
    const ends = [element.start, element.end];
    const elastic = torsionStiffness(element);
    const rotary = torsionInertia(element);
    ends.forEach((end, component) => {
      if (end !== node) return;
      ends.forEach(({ twist }, j) => {
        if (twist < 0) return;
        freedoms.push(twist);
        stiffness.push(-elastic[2 * component + j]!);
        inertia.push(-rotary[2 * component + j]!);
      });
      direct.push({ element: index, shape: 4 + component, factor: 1 });
    });
  });
  return withSprings(
    { freedoms, stiffness, inertia, direct },
    springs.get(node) ?? [],
    ({ eccentricity }) => eccentricity,
  );
}

/** Sum of rows, each times its factor. */
export function combined(rows: readonly (readonly [parts: RowParts, factor: number])[]): RowParts {
  const scaled = (pick: (parts: RowParts) => readonly number[]) =>
    rows.flatMap(([parts, factor]) => pick(parts).map((value) => factor * value));
  return {
    freedoms: rows.flatMap(([parts]) => parts.freedoms),
    stiffness: scaled((parts) => parts.stiffness),
    inertia: scaled((parts) => parts.inertia),
    direct: rows.flatMap(([parts, factor]) =>
      parts.direct.map((part) => ({ ...part, factor: factor * part.factor })),
    ),
  };
}
