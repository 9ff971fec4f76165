import type { Envelope } from '../../scenarios/result.js';
import type { Peaks } from '../../solver/peaks.js';
import { type Quantity, rowsOf } from '../../solver/response-rows.js';
import type { CaseState } from './case-state.js';

/** Largest and smallest along the deck at one speed, nominal properties; where two deck ends meet, the worse. */
export function envelopeOf(state: CaseState, peaks: Peaks, speedKmh: number): Envelope {
  const variant = state.variants[0]!;
  const { rows } = variant.dynamics();
  const x = [...new Set(rowsOf(rows, 'bending').map((row) => rows[row]!.x))].sort((a, b) => a - b);
  const index = new Map(x.map((value, i) => [value, i]));
  const collect = (
    quantity: Quantity,
    value: (row: number) => number,
    worse: (a: number, b: number) => number,
  ) => {
    const values = new Array<number>(x.length).fill(0);
    for (const row of rowsOf(rows, quantity)) {
      const i = index.get(rows[row]!.x);
      if (i !== undefined) values[i] = worse(values[i]!, value(row));
    }
    return values;
  };
  const { largest, smallest } = peaks;
  const high = (r: number) => largest[r]!;
  const low = (r: number) => smallest[r]!;
  const bendingMax = collect('bending', (r) => high(r) / 1e3, Math.max);
  const bendingMin = collect('bending', (r) => low(r) / 1e3, Math.min);
  const dead = x.map((at) => variant.deadLoad.bendingAt(at) / 1e3);
  return {
    speed_kmh: speedKmh,
    x_m: x,
    deck_acceleration_m_per_s2: collect('deck-acceleration', (r) => Math.max(high(r), -low(r)), Math.max),
    deck_deflection_max_mm: collect('deck-deflection', (r) => 1e3 * high(r), Math.max),
    deck_deflection_min_mm: collect('deck-deflection', (r) => 1e3 * low(r), Math.min),
    bending_max_kNm: bendingMax,
    bending_min_kNm: bendingMin,
    total_bending_max_kNm: bendingMax.map((moment, i) => moment + dead[i]!),
    total_bending_min_kNm: bendingMin.map((moment, i) => moment + dead[i]!),
  };
}
