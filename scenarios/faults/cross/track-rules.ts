import { type Fault, fault } from '../../fault.js';
import { member } from './lenient.js';

export function trackRules(document: unknown): readonly Fault[] {
  const track = member(document, 'track');
  return [...layerFaults(track), ...clampingFaults(track)];
}

/** What only says something about a fastening that is followed beyond its clamping. */
function clampingFaults(track: unknown): readonly Fault[] {
  const fastening = member(track, 'fastening');
  if (track === undefined || member(fastening, 'clamping_force_kN') !== undefined) return [];
  const alone: readonly (readonly [string, string, unknown])[] = [
    ['fastening', 'compression_stiffness_N_per_m', fastening],
    ['rail', 'section_modulus_m3', member(track, 'rail')],
  ];
  return alone
    .filter(([, key, of]) => member(of, key) !== undefined)
    .map(([part, key]) =>
      fault(['track', part, key], 'belong-together', {
        found: `${key} without fastening.clamping_force_kN`,
        accepted: 'together with the clamping force (1 to 500 kN), or not at all',
      }),
    );
}

/** Slab and bedding come together: a slab needs something to lie on, a bedding something to carry. */
function layerFaults(track: unknown): readonly Fault[] {
  const slab = member(track, 'slab') !== undefined;
  const bedding = member(track, 'bedding') !== undefined;
  if (slab === bedding) return [];
  return [
    fault(['track', slab ? 'bedding' : 'slab'], 'belong-together', {
      found: slab ? 'a slab without bedding' : 'a bedding without slab',
      accepted: 'slab and bedding together, or neither (rails fastened straight to the deck)',
    }),
  ];
}
