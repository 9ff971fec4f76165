import { type Fault, fault, type Path, pointerOf } from '../../fault.js';
import { member } from './lenient.js';

/** A fault for every entry whose key repeats an earlier entry's; entries without the key are passed over. */
export function duplicates(
  list: readonly unknown[],
  path: Path,
  key: string,
  what: string,
  nameOf: (entry: unknown) => unknown = (entry) => member(entry, key),
): readonly Fault[] {
  const first = new Map<string | number, number>();
  const faults: Fault[] = [];
  for (const [index, entry] of list.entries()) {
    const name = nameOf(entry);
    if (typeof name !== 'string' && typeof name !== 'number') continue;
    const earlier = first.get(name);
    if (earlier === undefined) first.set(name, index);
    else {
      faults.push(
        fault([...path, index, key], 'duplicate-name', {
          found: `${JSON.stringify(name)}, already used at ${pointerOf([...path, earlier])}`,
          accepted: `a name of its own for every ${what}`,
          guess:
            typeof entry === 'object' && entry !== null && !Object.hasOwn(entry, key)
              ? `Give it its own ${JSON.stringify(key)}.`
              : null,
        }),
      );
    }
  }
  return faults;
}
