import type { AssessmentModel } from '../../scenarios/assessment-model.js';
import type { DeckEndResult } from '../../scenarios/result.js';
import type { DeckEndResponse, Worst } from '../../solver/deck-ends/deck-end-train.js';
import type { CaseState } from './case-state.js';
import type { SpeedSample } from './speed-sample.js';

/**
 * Every deck end, nominal properties: uplift and pull at the speed at which its fastenings are pulled most; free pads, compression and
 * bending as the worst of the whole sweep. Empty where the fastening is linear.
 */
export function deckEndResults(
  model: AssessmentModel,
  state: CaseState,
  samples: readonly SpeedSample[],
): DeckEndResult[] {
  const count = samples[0]?.deckEnds.length ?? 0;
  return Array.from({ length: count }, (_, end) => {
    const atSpeeds = samples.map(({ speedKmh, deckEnds }) => ({ speedKmh, ...deckEnds[end]! }));
    const governing = atSpeeds.reduce((worst, one) => (one.pull.value > worst.pull.value ? one : worst));
    const worstOf = (value: (of: DeckEndResponse) => Worst) =>
      atSpeeds.map(value).reduce((worst, one) => (one.value > worst.value ? one : worst));
    const ofSweep = {
      released: Math.max(...atSpeeds.map(({ released }) => released)),
      compression: worstOf(({ compression }) => compression),
      railBending: worstOf(({ railBending }) => railBending),
    };
    return resultOf(model, state, { ...governing, ...ofSweep }, governing.speedKmh);
  });
}

function resultOf(
  { viaduct }: AssessmentModel,
  state: CaseState,
  { end, uplift, pull, heldBy, compression, railBending, released, headX }: DeckEndResponse,
  speedKmh: number,
): DeckEndResult {
  const modulus = viaduct.track?.rail.sectionModulus;
  return {
    support: state.viaduct.supports[end.support]!.id,
    track: end.track + 1,
    at_m: end.x,
    speed_kmh: speedKmh,
    uplift_mm: 1e3 * uplift.value,
    pull_kN: heldBy / 1e3,
    linear_pull_kN: pull.value / 1e3,
    seat_m: pull.x,
    leading_axle_m: headX,
    released_seats: released,
    compression_kN: compression.value / 1e3,
    compressed_seat_m: compression.x,
    rail_bending_increment_kNm: railBending.value / 1e3,
    rail_stress_increment_N_per_mm2: modulus === undefined ? null : (1e-6 * railBending.value) / modulus,
    rail_m: railBending.x,
  };
}
