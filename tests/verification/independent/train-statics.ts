import { type ElasticBeam, type ForceMethodSolution, solveByForceMethod } from './force-method.js';

/** Influence ordinates at unit force positions `x`, one solution of the force method each. */
export function influenceOrdinates(
  beam: Omit<ElasticBeam, 'forces'>,
  x: readonly number[],
  response: (solution: ForceMethodSolution) => number,
): number[] {
  const weightless = { ...beam, pieces: beam.pieces.map((piece) => ({ ...piece, load: 0 })) };
  return x.map((at) => response(solveByForceMethod({ ...weightless, forces: [{ x: at, load: 1 }] })));
}

/**
 * Largest and smallest response to a force row that is moved in small steps over an influence line, linear between its
 * ordinates; two ordinates at nearly one x make a jump.
 */
export function extremesUnderTrain(
  x: readonly number[],
  ordinates: readonly number[],
  positions: readonly number[],
  loads: readonly number[],
  step: number,
): { readonly largest: number; readonly smallest: number } {
  const first = x[0]!;
  const last = x[x.length - 1]!;
  const valueAt = (at: number) => {
    if (at < first || at > last) return 0;
    let low = 0;
    let high = x.length - 1;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (x[middle]! <= at) low = middle;
      else high = middle;
    }
    const share = (at - x[low]!) / (x[high]! - x[low]!);
    return ordinates[low]! + (ordinates[high]! - ordinates[low]!) * share;
  };
  let largest = 0;
  let smallest = 0;
  const place = (head: number) => {
    const sum = positions.reduce((total, behind, axle) => total + loads[axle]! * valueAt(head - behind), 0);
    largest = Math.max(largest, sum);
    smallest = Math.min(smallest, sum);
  };
  const tail = positions[positions.length - 1]!;
  for (let head = first; head <= last + tail; head += step) place(head);
  // Every axle on every ordinate: extremes of polygons and jumps lie there.
  for (const behind of positions) for (const at of x) place(at + behind);
  return { largest, smallest };
}
