import { elementAt } from '../mesh/element-at.js';
import { nearestIndex } from '../mesh/grid.js';
import type { Mesh } from '../mesh/mesh.js';
import type { ResponseRow } from './response-rows.js';
import { sumRow } from './row-parts.js';

/** m: length over which track twist is measured, and the distance of rails it is given for. EN 1990:2002/A1 A2.4.4.2.2 (mem). */
export const twistBase = 3;
export const twistGauge = 1.435;

/**
 * Twist of the track over 3 m, the rotation gained times the gauge: windows that begin or end at every station, and one across the middle of each
 * support. Beyond the abutments nothing turns.
 */
export function addTwistRows(
  rows: ResponseRow[],
  mesh: Mesh,
  stations: Int32Array,
  spanAt: (i: number) => number,
): void {
  for (const start of twistWindows(mesh, stations)) {
    const before = twistAt(mesh, start, 'right');
    const after = twistAt(mesh, start + twistBase, 'left');
    const freedoms = [...before.freedoms, ...after.freedoms];
    if (freedoms.length === 0) continue;
    const weights = [...before.weights.map((weight) => -weight), ...after.weights];
    const x = Math.min(Math.max(start + twistBase / 2, 0), mesh.length);
    const place = { x, span: spanAt(nearestIndex(mesh.grid.x, x)), support: -1, start };
    const turned = { freedoms, weights: weights.map((weight) => weight * twistGauge) };
    const direct = [...before.direct.map((part) => ({ ...part, factor: -part.factor })), ...after.direct];
    rows.push({
      ...sumRow('deck-twist', place, turned),
      direct: direct.map((part) => ({ ...part, factor: part.factor * twistGauge })),
    });
  }
}

function twistWindows(mesh: Mesh, stations: Int32Array): number[] {
  const { x, supports } = mesh.grid;
  const starts = [
    ...Array.from(stations, (index) => x[index]!),
    ...Array.from(stations, (index) => x[index]! - twistBase),
    ...Array.from(supports, (index) => x[index]! - twistBase / 2),
  ].sort((a, b) => a - b);
  return starts.filter((start, k) => k === 0 || start - starts[k - 1]! > 1e-6);
}

const unturned: Pick<ResponseRow, 'freedoms' | 'direct'> & { readonly weights: readonly number[] } = {
  freedoms: [],
  weights: [],
  direct: [],
};

/** The deck's rotation about x at any place, in the element on the given side; none beyond the ends. */
function twistAt(mesh: Mesh, x: number, side: 'left' | 'right'): typeof unturned {
  if (side === 'right' ? x >= mesh.length : x <= 0) return unturned;
  if (side === 'right' ? x < -1e-7 : x > mesh.length + 1e-7) return unturned;
  const low = elementAt(mesh.deck, x, side);
  const { x: from, length } = mesh.deck[low]!;
  const { start, end, rigidity } = mesh.torsion[low]!;
  const share = Math.min(Math.max((x - from) / length, 0), 1);
  const parts = [
    { freedom: start.twist, weight: 1 - share },
    { freedom: end.twist, weight: share },
  ].filter(({ freedom, weight }) => freedom >= 0 && weight !== 0);
  const inside = share > 0 && share < 1 && rigidity > 0;
  return {
    freedoms: parts.map(({ freedom }) => freedom),
    weights: parts.map(({ weight }) => weight),
    direct: inside ? [{ element: low, shape: 'bubble', factor: 1 / rigidity, at: x - from }] : [],
  };
}
