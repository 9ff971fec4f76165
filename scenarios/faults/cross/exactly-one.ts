import { type Fault, fault, type Path } from '../../fault.js';
import { member } from './lenient.js';

/** A fault where an object has none of some keys, or several; empty where it has exactly one. */
export function exactlyOne(value: unknown, kinds: readonly string[], path: Path): readonly Fault[] {
  const given = kinds.filter((kind) => member(value, kind) !== undefined);
  if (given.length === 1) return [];
  return [
    fault(path, 'exactly-one', {
      found: given.length === 0 ? `none of ${kinds.join(', ')}` : given.join(' and '),
      accepted: `one of ${kinds.join(', ')}`,
    }),
  ];
}
