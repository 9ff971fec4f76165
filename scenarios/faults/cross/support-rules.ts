import { type Fault, fault } from '../../fault.js';
import { scenarioBounds } from '../../schema/bounds.js';
import { duplicates } from './duplicates.js';
import { entries, member } from './lenient.js';

/** One support more than spans, each with its own id. */
export function supportRules(document: unknown): readonly Fault[] {
  const faults: Fault[] = [];
  const spans = entries(member(document, 'deck'), 'spans', scenarioBounds.spans).length;
  const supports = entries(document, 'supports', scenarioBounds.spans + 1);
  // Fewer than two are a fault by themselves.
  if (spans > 0 && supports.length > 1 && supports.length !== spans + 1) {
    faults.push(
      fault(['supports'], 'count-mismatch', {
        found: `${supports.length} supports for ${spans} ${spans === 1 ? 'span' : 'spans'}`,
        accepted: `${spans + 1} supports, one more than spans`,
        guess:
          supports.length === spans
            ? 'Is one end support missing?'
            : supports.length === 2 * spans
              ? 'Two supports at a joint? One support with "joint": true carries both ends of the deck.'
              : null,
      }),
    );
  }
  faults.push(...duplicates(supports, ['supports'], 'id', 'support'));
  return faults;
}
