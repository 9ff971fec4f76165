import { elementFreedoms } from './assembly.js';
import { beamMass, beamStiffness } from './beam-element.js';
import { nearestIndex } from './grid.js';
import type { BeamElement, Mesh, Node } from './mesh.js';
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

/** Where the deck's responses are taken: at every support and joint and no further apart than a twentieth of the span. */
export function stationIndices(mesh: Mesh): Int32Array {
  const { x, supports } = mesh.grid;
  const chosen = new Set<number>();
  for (let span = 0; span + 1 < supports.length; span++) {
    let low = supports[span]!;
    let high = supports[span + 1]!;
    const longest = ((x[high]! - x[low]!) / 20) * (1 + 1e-9);
    chosen.add(low).add(high);
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

/** Every response the checks and the report need. */
export function buildResponseRows(mesh: Mesh, viaduct: Viaduct): ResponseRow[] {
  const rows: ResponseRow[] = [];
  const { x } = mesh.grid;
  const first = mesh.grid.supports[0]!;
  const supportAt = new Map(Array.from(mesh.grid.supports, (index, support) => [index, support]));
  const spanAt = (gridIndex: number) =>
    mesh.deckSpan[Math.max(0, Math.min(gridIndex - first, mesh.deckSpan.length) - 1)]!;

  const stations = stationIndices(mesh);
  const slabPlaces = quarterPoints(mesh, stations);

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
    if (slab && slabPlaces.has(i)) rows.push(pointRow('slab-acceleration', place, slab.deflection));
    const before = i - first - 1;
    const after = i - first;
    if (before >= 0) rows.push(endRow('bending', { ...place, side: 'left' }, mesh, before, 'end'));
    else rows.push(endRow('bending', { ...place, side: 'right' }, mesh, after, 'start'));
    if (!supportAt.has(i)) continue;
    if (before >= 0) rows.push(endRow('shear', { ...place, side: 'left' }, mesh, before, 'end'));
    if (after < mesh.deck.length) {
      rows.push(
        endRow('shear', { ...place, span: mesh.deckSpan[after]!, side: 'right' }, mesh, after, 'start'),
      );
    }
  }
  mesh.supports.forEach((_, support) => {
    addSupportRows(rows, mesh, support, spanAt);
  });
  addFasteningRows(rows, mesh, viaduct, spanAt);
  return rows;
}

/** Where the slab's acceleration is reported: at the supports and the quarters of the spans, at the nearest station. */
function quarterPoints(mesh: Mesh, stations: Int32Array): Set<number> {
  const { x, supports } = mesh.grid;
  const positions = Float64Array.from(stations, (index) => x[index]!);
  const chosen = new Set<number>();
  for (let span = 0; span + 1 < supports.length; span++) {
    const start = x[supports[span]!]!;
    const length = x[supports[span + 1]!]! - start;
    for (let quarter = 0; quarter <= 4; quarter++)
      chosen.add(stations[nearestIndex(positions, start + (quarter / 4) * length)]!);
  }
  return chosen;
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

/** Sum of signed nodal forces of elements, minus their consistent loads. */
function forceRow(parts: readonly [mesh: Mesh, element: number, component: number, sign: number][]) {
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
): void {
  const { nodes, gridIndex, carries } = mesh.supports[support]!;
  const x = mesh.grid.x[gridIndex]!;
  const place = { x, span: spanAt(gridIndex), support };
  const lastSupport = mesh.supports.length - 1;
  if (carries) {
    const lines = nodes.map((node) => reactionRow(mesh, node));
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
function reactionRow(mesh: Mesh, node: Node): ReturnType<typeof forceRow> {
  const parts: [Mesh, number, number, number][] = [];
  mesh.deck.forEach((element, index) => {
    if (element.start === node) parts.push([mesh, index, 0, -1]);
    if (element.end === node) parts.push([mesh, index, 2, -1]);
  });
  const row = forceRow(parts);
  for (const spring of mesh.springs) {
    if (spring.lower !== node) continue;
    row.freedoms.push(spring.upper.deflection);
    row.stiffness.push(spring.stiffness);
    row.inertia.push(0);
    if (node.deflection < 0) continue;
    row.freedoms.push(node.deflection);
    row.stiffness.push(-spring.stiffness);
    row.inertia.push(0);
  }
  return row;
}

function join(rows: readonly ReturnType<typeof forceRow>[]): ReturnType<typeof forceRow> {
  return {
    freedoms: rows.flatMap((row) => row.freedoms),
    stiffness: rows.flatMap((row) => row.stiffness),
    inertia: rows.flatMap((row) => row.inertia),
    direct: rows.flatMap((row) => row.direct),
  };
}

/** Seats near joints, abutments and the edges of damaged stretches, where uplift governs, and one every three metres elsewhere. */
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
  let lastTaken = Number.NEGATIVE_INFINITY;
  for (const spring of mesh.springs) {
    if (spring.kind !== 'fastening' || spring.x < -near || spring.x > mesh.length + near) continue;
    const isCritical = critical.some((position) => Math.abs(position - spring.x) <= near);
    if (!isCritical && spring.x - lastTaken < apart) continue;
    lastTaken = spring.x;
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
