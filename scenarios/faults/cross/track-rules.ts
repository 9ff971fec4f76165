import { type Fault, fault } from '../../fault.js';
import { member } from './lenient.js';

/** Slab and bedding come together: a slab needs something to lie on, a bedding something to carry. */
export function trackRules(document: unknown): readonly Fault[] {
  const track = member(document, 'track');
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
