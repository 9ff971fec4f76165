import type { DeckEndResult, TrainResult } from '../../../scenarios/result.js';
import { type Markup, markup, nothing } from '../markup.js';
import { formatFixed, formatNumber } from '../number-format.js';
import { scrollBox } from './scroll-box.js';

/** Fastenings and rail at every joint and end of the deck; nothing where the fastening is linear. */
export function deckEndsTable(train: TrainResult, subject: string): Markup {
  const ends = train.deck_ends ?? [];
  if (ends.length === 0) return nothing;
  const tracks = ends.some(({ track }) => track > 1);
  const table = scrollBox(
    `Deck ends: ${subject}`,
    markup`<table class="deck-ends"><caption>Fastenings and rail at the deck ends</caption><thead><tr><th scope="col">Deck end</th>${tracks ? markup`<th scope="col" class="number">Track</th>` : null}<th scope="col" class="number">Speed (km/h)</th><th scope="col" class="number">Rail above seat (mm)</th><th scope="col" class="number">Pull held (kN)</th><th scope="col" class="number">Pull judged (kN)</th><th scope="col" class="number">Seat (m)</th><th scope="col" class="number">Leading axle (m)</th><th scope="col">Pads free</th><th scope="col" class="number">Compression (kN)</th><th scope="col" class="number">Rail bending increment (kNm)</th><th scope="col" class="number">Rail stress increment (N/mm²)</th></tr></thead><tbody>${ends.map((end) => row(end, tracks))}</tbody></table>`,
  );
  return markup`${table}<p class="quiet">Uplift and pull are those at the speed and with the leading axle where the fastenings are pulled most; free pads, compression and bending are the worst of all speeds. Clips hold no more than their clamping force; the pull judged is what a linear fastening would hold at the same uplift. Bending and stress are what is added to the same track on a deck that does not move.</p>`;
}

function row(end: DeckEndResult, tracks: boolean): Markup {
  const free = end.released_seats;
  return markup`<tr><th scope="row">${end.support}</th>${tracks ? markup`<td class="number">${String(end.track)}</td>` : null}<td class="number">${end.speed_kmh === 0 ? 'standing' : formatNumber(end.speed_kmh, 4)}</td><td class="number">${formatFixed(end.uplift_mm, 2)}</td><td class="number">${formatFixed(end.pull_kN, 1)}</td><td class="number">${formatFixed(end.linear_pull_kN, 1)}</td><td class="number">${formatFixed(end.seat_m, 2)}</td><td class="number">${formatFixed(end.leading_axle_m, 1)}</td><td>${free === 0 ? 'none' : markup`<strong class="flag">✕ ${String(free)}</strong>`}</td><td class="number">${formatFixed(end.compression_kN, 1)}</td><td class="number">${formatFixed(end.rail_bending_increment_kNm, 2)}</td><td class="number">${formatFixed(end.rail_stress_increment_N_per_mm2, 1)}</td></tr>`;
}
