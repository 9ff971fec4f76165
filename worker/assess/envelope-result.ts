import type { Envelope } from '../../scenarios/result.js';
import type { Peaks } from '../../solver/peaks/peaks.js';
import { type Quantity, type ResponseRow, rowsOf } from '../../solver/rows/response-rows.js';
import type { CaseState } from './case-state.js';

/** Largest and smallest along the deck at one speed, nominal properties; where two deck ends meet, the worse. */
export function envelopeOf(state: CaseState, peaks: Peaks, speedKmh: number): Envelope {
  const variant = state.variants[0]!;
  const { rows } = variant.dynamics();
  const x = placesOf(rows);
  const acceleration = extremesAt(x, rows, peaks, 'deck-acceleration');
  const deflection = extremesAt(x, rows, peaks, 'deck-deflection');
  const bending = extremesAt(x, rows, peaks, 'bending');
  const envelope = {
    speed_kmh: speedKmh,
    x_m: x,
    deck_acceleration_m_per_s2: numbers(),
    deck_deflection_max_mm: numbers(),
    deck_deflection_min_mm: numbers(),
    bending_max_kNm: numbers(),
    bending_min_kNm: numbers(),
    total_bending_max_kNm: numbers(),
    total_bending_min_kNm: numbers(),
  };
  for (let i = 0; i < x.length; i++) {
    const dead = variant.deadLoad.bendingAt(x[i]!) / 1e3;
    const sagging = bending.largest[i]! / 1e3;
    const hogging = bending.smallest[i]! / 1e3;
    envelope.deck_acceleration_m_per_s2.push(Math.max(acceleration.largest[i]!, -acceleration.smallest[i]!));
    envelope.deck_deflection_max_mm.push(1e3 * deflection.largest[i]!);
    envelope.deck_deflection_min_mm.push(1e3 * deflection.smallest[i]!);
    envelope.bending_max_kNm.push(sagging);
    envelope.bending_min_kNm.push(hogging);
    envelope.total_bending_max_kNm.push(sagging + dead);
    envelope.total_bending_min_kNm.push(hogging + dead);
  }
  return envelope;
}

const numbers = (): number[] => [];

/**
 * Where all three are looked at, ascending. Moments of a deck without track are looked at in between as well; a deck held at a support
 * has no deflection there to look at, and 0 is the truth.
 */
function placesOf(rows: readonly ResponseRow[]): number[] {
  const moments = new Set(rowsOf(rows, 'bending').map((row) => rows[row]!.x));
  const atSupports = rowsOf(rows, 'shear').map((row) => rows[row]!.x);
  const places = new Set([...rowsOf(rows, 'deck-deflection').map((row) => rows[row]!.x), ...atSupports]);
  return [...places].filter((x) => moments.has(x)).sort((a, b) => a - b);
}

/** Peaks of a quantity at each of the places, no train being one of the states. */
function extremesAt(
  x: readonly number[],
  rows: readonly ResponseRow[],
  peaks: Peaks,
  quantity: Quantity,
): Peaks {
  const largest = new Float64Array(x.length);
  const smallest = new Float64Array(x.length);
  const index = new Map<number, number>();
  for (let i = 0; i < x.length; i++) index.set(x[i]!, i);
  for (const row of rowsOf(rows, quantity)) {
    const i = index.get(rows[row]!.x);
    if (i === undefined) continue;
    if (peaks.largest[row]! > largest[i]!) largest[i] = peaks.largest[row]!;
    if (peaks.smallest[row]! < smallest[i]!) smallest[i] = peaks.smallest[row]!;
  }
  return { largest, smallest };
}
