import { valueAt } from './describe-value.js';
import type { Misspelling } from './shape-faults.js';

/**
 * A copy of the document with misspelt keys written as they were probably meant, so that the rules across keys do not report
 * again what the misspelling explains. Only faults are drawn from it, never a scenario.
 */
export function withKeysAsMeant(document: unknown, misspellings: readonly Misspelling[]): unknown {
  if (misspellings.length === 0) return document;
  const copy: unknown = structuredClone(document);
  // Innermost first: renaming an outer key would move the paths of the inner ones.
  const innermostFirst = [...misspellings].sort((a, b) => b.parent.length - a.parent.length);
  for (const { parent, found, meant } of innermostFirst) {
    const object = valueAt(copy, parent);
    if (typeof object !== 'object' || object === null) continue;
    Reflect.set(object, meant, Reflect.get(object, found));
    Reflect.deleteProperty(object, found);
  }
  return copy;
}
