import { elementFreedoms } from './assembly.js';
import { beamMass, beamStiffness } from './beam-element.js';
import { nearestIndex } from './grid.js';
import type { BeamElement, LayerSpring, Mesh, Node } from './mesh.js';
import type { Viaduct } from './model.js';

export type Quantity =
  | 'deck-acceleration'
  | 'slab-acceleration'
  | 'deck-deflection'
  | 'bending'
  | 'shear'
  | 'support-reaction'
  | 'bearing-reaction'
  | 'end-rotation'
  | 'joint-step'
  | 'fastening-force';

/** Accelerations come from the modes alone; every other quantity has a static influence line to lean on. */
export const isAcceleration = (quantity: Quantity): boolean =>
  quantity === 'deck-acceleration' || quantity === 'slab-acceleration';

/**
 * One scalar response as a linear functional of the displacements: sum of `stiffness[k] u[freedoms[k]]`, plus what a load standing
 * on one of the `direct` elements adds through its consistent nodal forces. The inertia part completes the internal force of a mode.
 */
export interface ResponseRow {
  readonly quantity: Quantity;
  readonly x: number;
  /** Span the point belongs to, by index; -1 off the deck. */
  readonly span: number;
  /** Support index of reactions, rotations and steps; -1 elsewhere. */
  readonly support: number;
  /** Deck end at a joint, or the side of a support a shear belongs to. */
  readonly side: 'left' | 'right' | 'only';
  readonly freedoms: readonly number[];
  readonly stiffness: readonly number[];
  readonly inertia: readonly number[];
  readonly direct: readonly { readonly element: number; readonly shape: number; readonly factor: number }[];
}

/** Where the deck's responses are taken: at every support and joint, at midspan, and no further apart than a twentieth of the span. */
export function stationIndices(mesh: Mesh): Int32Array {
  const { x, supports } = mesh.grid;
  const chosen = new Set<number>();
  for (let span = 0; span + 1 < supports.length; span++) {
    let low = supports[span]!;
    let high = supports[span + 1]!;
    const longest = ((x[high]! - x[low]!) / 20) * (1 + 1e-9);
    chosen.add(low).add(high);
    for (const index of middle(x, low, high)) chosen.add(index);
    while (high - low > 1 && x[high]! - x[low]! > longest) {
      let nextLow = low + 1;
      while (nextLow + 1 < high && x[nextLow + 1]! - x[low]! <= longest) nextLow++;
      let nextHigh = high - 1;
      while (nextHigh - 1 > low && x[high]! - x[nextHigh - 1]! <= longest) nextHigh--;
      if (nextLow > nextHigh) {
        // The two walks crossed: one point between them closes the gap, the middle one for symmetry.
        chosen.add(nextLow).add(nextHigh);
        break;
      }
      low = nextLow;
      high = nextHigh;
      chosen.add(low).add(high);
    }
  }
  return Int32Array.from(chosen).sort();
}

/** The node at midspan, or the two on either side of it. */
function middle(x: Float64Array, low: number, high: number): readonly number[] {
  const distance = (index: number) => Math.abs(2 * x[index]! - x[low]! - x[high]!);
  const nearest = nearestIndex(x, (x[low]! + x[high]!) / 2);
  return [nearest - 1, nearest, nearest + 1].filter(
    (index) => distance(index) <= distance(nearest) + 1e-9 * (x[high]! - x[low]!),
  );
}

/** Every response the checks and the report need. */
export function buildResponseRows(mesh: Mesh, viaduct: Viaduct): ResponseRow[] {
  const rows: ResponseRow[] = [];
  const { x } = mesh.grid;
  const first = mesh.grid.supports[0]!;
  const supportAt = new Map(Array.from(mesh.grid.supports, (index, support) => [index, support]));
  const spanAt = (gridIndex: number) =>
    mesh.deckSpan[Math.max(0, Math.min(gridIndex - first, mesh.deckSpan.length) - 1)]!;

  const springs = springsByLowerNode(mesh);
  const stations = stationIndices(mesh);

  for (const i of stations) {
    const place = { x: x[i]!, span: spanAt(i), support: -1 } as const;
    const left = mesh.deckLeft[i];
    const right = mesh.deckRight[i];
    const ends = left && right && left.deflection !== right.deflection ? [left, right] : [left ?? right!];
    for (const node of ends) {
      if (node.deflection < 0) continue;
      rows.push(pointRow('deck-acceleration', place, node.deflection));
      rows.push(pointRow('deck-deflection', place, node.deflection));
    }
    const slab = mesh.slabNodes[i];
    if (slab) rows.push(pointRow('slab-acceleration', place, slab.deflection));
    const before = i - first - 1;
    const after = i - first;
    if (before >= 0) rows.push(endRow('bending', { ...place, side: 'left' }, mesh, before, 'end'));
    else rows.push(endRow('bending', { ...place, side: 'right' }, mesh, after, 'start'));
    if (!supportAt.has(i)) continue;
    if (before >= 0) rows.push(shearRow({ ...place, side: 'left' }, mesh, before, 'end', springs));
    if (after < mesh.deck.length)
      rows.push(
        shearRow({ ...place, span: mesh.deckSpan[after]!, side: 'right' }, mesh, after, 'start', springs),
      );
  }
  mesh.supports.forEach((_, support) => {
    addSupportRows(rows, mesh, support, spanAt, springs);
  });
  addFasteningRows(rows, mesh, viaduct, spanAt);
  return rows;
}

type Place = Pick<ResponseRow, 'x' | 'span' | 'support'> & { readonly side?: ResponseRow['side'] };

function pointRow(quantity: Quantity, place: Place, freedom: number): ResponseRow {
  return { quantity, side: 'only', ...place, freedoms: [freedom], stiffness: [1], inertia: [0], direct: [] };
}

/** Internal force at one end of a deck element, from the element's own equilibrium. */
function endRow(
  quantity: 'bending' | 'shear',
  place: Place,
  mesh: Mesh,
  element: number,
  end: 'start' | 'end',
): ResponseRow {
  const component = (end === 'start' ? 0 : 2) + (quantity === 'bending' ? 1 : 0);
  // Sagging M = -EI w'': the start's nodal moment has its sign, the end's the opposite; V = dM/dx the other way round.
  const sign = (quantity === 'bending') === (end === 'start') ? 1 : -1;
  return { quantity, side: 'only', ...place, ...forceRow([[mesh, element, component, sign]]) };
}

/**
 * Shear just beside a support: at the element's end, plus what the bedding between the two presses on the deck, which the mesh
 * lumps on the node of the support.
 */
function shearRow(
  place: Place & { readonly side: 'left' | 'right' },
  mesh: Mesh,
  element: number,
  end: 'start' | 'end',
  springs: SpringsByLowerNode,
): ResponseRow {
  const row = endRow('shear', place, mesh, element, end);
  const between = (springs.get(mesh.deck[element]![end]) ?? []).filter(({ side }) => side === place.side);
  return { ...row, ...withSprings(row, between, end === 'start' ? 1 : -1) };
}

type SpringsByLowerNode = ReadonlyMap<Node, readonly LayerSpring[]>;

function springsByLowerNode({ springs }: Mesh): SpringsByLowerNode {
  const found = new Map<Node, LayerSpring[]>();
  for (const spring of springs) {
    if (!spring.lower) continue;
    const known = found.get(spring.lower);
    if (known) known.push(spring);
    else found.set(spring.lower, [spring]);
  }
  return found;
}

type LinearForm = Pick<ResponseRow, 'freedoms' | 'stiffness' | 'inertia' | 'direct'>;

/** The form plus the signed compression of springs. */
function withSprings(form: LinearForm, springs: readonly LayerSpring[], sign: 1 | -1): LinearForm {
  const freedoms = [...form.freedoms];
  const stiffness = [...form.stiffness];
  const inertia = [...form.inertia];
  for (const { upper, lower, stiffness: spring } of springs) {
    const ends: [number, number][] = [
      [upper.deflection, sign * spring],
      [lower?.deflection ?? -1, -sign * spring],
    ];
    for (const [freedom, value] of ends) {
      if (freedom < 0) continue;
      freedoms.push(freedom);
      stiffness.push(value);
      inertia.push(0);
    }
  }
  return { freedoms, stiffness, inertia, direct: form.direct };
}

/** Sum of signed nodal forces of elements, minus their consistent loads. */
function forceRow(
  parts: readonly [mesh: Mesh, element: number, component: number, sign: number][],
): LinearForm {
  const freedoms: number[] = [];
  const stiffness: number[] = [];
  const inertia: number[] = [];
  const direct: { element: number; shape: number; factor: number }[] = [];
  for (const [mesh, index, component, sign] of parts) {
    const element: BeamElement = mesh.deck[index]!;
    const matrix = beamStiffness(element);
    const mass = beamMass(element);
    elementFreedoms(element).forEach((freedom, j) => {
      if (freedom < 0) return;
      freedoms.push(freedom);
      stiffness.push(sign * matrix[4 * component + j]!);
      inertia.push(sign * mass[4 * component + j]!);
    });
    direct.push({ element: index, shape: component, factor: -sign });
  }
  return { freedoms, stiffness, inertia, direct };
}

function addSupportRows(
  rows: ResponseRow[],
  mesh: Mesh,
  support: number,
  spanAt: (i: number) => number,
  springs: SpringsByLowerNode,
): void {
  const { nodes, gridIndex, carries } = mesh.supports[support]!;
  const x = mesh.grid.x[gridIndex]!;
  const place = { x, span: spanAt(gridIndex), support };
  const lastSupport = mesh.supports.length - 1;
  if (carries) {
    const lines = nodes.map((node) => reactionRow(mesh, node, springs));
    rows.push({ quantity: 'support-reaction', ...place, side: 'only', ...join(lines) });
    // Where one line of bearings is the whole support, its row above says the same.
    (lines.length > 1 ? lines : []).forEach((line, index) => {
      const side = index === 0 ? 'left' : 'right';
      rows.push({ quantity: 'bearing-reaction', ...place, side, ...line });
    });
  }
  const [left, right] = nodes;
  if (nodes.length === 2) {
    const turn = {
      freedoms: [left!.rotation, right!.rotation],
      stiffness: [-1, 1],
      inertia: [0, 0],
      direct: [],
    };
    rows.push({ quantity: 'end-rotation', ...place, side: 'only', ...turn });
    if (left!.deflection !== right!.deflection) {
      const step = [left!, right!].filter((node) => node.deflection >= 0);
      rows.push({
        quantity: 'joint-step',
        ...place,
        side: 'only',
        freedoms: step.map((node) => node.deflection),
        stiffness: step.map((node) => (node === left ? -1 : 1)),
        inertia: step.map(() => 0),
        direct: [],
      });
    }
  } else if (support === 0 || support === lastSupport) {
    rows.push(pointRow('end-rotation', place, left!.rotation));
    if (left!.deflection >= 0) rows.push(pointRow('joint-step', place, left!.deflection));
  }
}

/** Compression on a bearing line: what the deck elements and the track springs at this node press down. */
function reactionRow(mesh: Mesh, node: Node, springs: SpringsByLowerNode): LinearForm {
  const parts: [Mesh, number, number, number][] = [];
  mesh.deck.forEach((element, index) => {
    if (element.start === node) parts.push([mesh, index, 0, -1]);
    if (element.end === node) parts.push([mesh, index, 2, -1]);
  });
  return withSprings(forceRow(parts), springs.get(node) ?? [], 1);
}

function join(rows: readonly LinearForm[]): LinearForm {
  return {
    freedoms: rows.flatMap((row) => row.freedoms),
    stiffness: rows.flatMap((row) => row.stiffness),
    inertia: rows.flatMap((row) => row.inertia),
    direct: rows.flatMap((row) => row.direct),
  };
}

/**
 * Seats near joints, abutments and the edges of damaged stretches, and the two beside every joint of slab panels, where uplift
 * governs; one every three metres elsewhere, counted from both ends of the deck towards its middle.
 */
function addFasteningRows(
  rows: ResponseRow[],
  mesh: Mesh,
  viaduct: Viaduct,
  spanAt: (i: number) => number,
): void {
  const near = 2.5;
  const apart = 3;
  const { x } = mesh.grid;
  const ends = mesh.supports.filter(
    ({ support, nodes }, index) =>
      nodes.length > 1 || !support.bearing || index === 0 || index === mesh.supports.length - 1,
  );
  const critical = [
    ...ends.map(({ gridIndex }) => x[gridIndex]!),
    ...(viaduct.track?.losses ?? []).flatMap((loss) => [loss.from, loss.to]),
  ];
  const seats = mesh.springs.filter(
    ({ kind, x: at }) => kind === 'fastening' && at >= -near && at <= mesh.length + near,
  );
  const besidePanelJoint = new Set(
    Array.from(mesh.grid.panelJoints).flatMap((joint) => {
      const next = seats.findIndex(({ x: at }) => at >= x[joint]! - 1e-9);
      return [seats[next - 1], seats[next]];
    }),
  );
  const isCritical = (seat: LayerSpring) =>
    besidePanelJoint.has(seat) || critical.some((position) => Math.abs(position - seat.x) <= near);
  const thinned = (ordered: readonly LayerSpring[]) => {
    let last = Number.NaN;
    return ordered.filter((seat) => {
      if (!isCritical(seat) && Math.abs(seat.x - last) < apart - 1e-9) return false;
      last = seat.x;
      return true;
    });
  };
  const half = mesh.length / 2 + 1e-6;
  const taken = new Set([
    ...thinned(seats.filter(({ x: at }) => at <= half)),
    ...thinned(seats.filter(({ x: at }) => mesh.length - at <= half).reverse()),
  ]);
  for (const spring of seats) {
    if (!taken.has(spring)) continue;
    const gridIndex = nearestIndex(x, spring.x);
    const onDeck = spring.x >= 0 && spring.x <= mesh.length;
    const lower = spring.lower && spring.lower.deflection >= 0 ? [spring.lower.deflection] : [];
    rows.push({
      quantity: 'fastening-force',
      x: spring.x,
      span: onDeck ? spanAt(gridIndex) : -1,
      support: -1,
      side: 'only',
      freedoms: [spring.upper.deflection, ...lower],
      stiffness: [spring.stiffness, ...lower.map(() => -spring.stiffness)],
      inertia: [0, ...lower.map(() => 0)],
      direct: [],
    });
  }
}
