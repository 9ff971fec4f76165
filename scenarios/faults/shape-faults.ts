import type { z } from 'zod';
import { type Fault, type Path, pointerOf } from '../fault.js';
import { faultOfIssue } from './issue-fault.js';
import { unknownKeyFaults } from './unknown-keys.js';

/** A key that was probably meant by an unknown one beside which it is missing. */
export interface Misspelling {
  readonly parent: Path;
  readonly found: string;
  readonly meant: string;
}

export interface ShapeFaults {
  readonly faults: readonly Fault[];
  readonly misspellings: readonly Misspelling[];
}

/**
 * Words every departure of a document from a schema as a fault, one each. A misspelt key is one fault, not an unknown and a
 * missing one. Nothing beneath a list that is too long is reported: the list's own fault says it all.
 */
export function shapeFaults(
  schema: z.ZodType,
  issues: readonly z.core.$ZodIssue[],
  document: unknown,
): ShapeFaults {
  const tooLong = issues
    .filter((issue) => issue.code === 'too_big' && issue.origin === 'array')
    .map((issue) => `${pointerOf(issue.path)}/`);
  const faults: Fault[] = [];
  const misspellings: Misspelling[] = [];
  for (const issue of issues) {
    if (issue.code !== 'unrecognized_keys') continue;
    for (const unknown of unknownKeyFaults(schema, issue, document)) {
      faults.push(unknown.fault);
      if (unknown.meant !== null) {
        misspellings.push({ parent: issue.path, found: unknown.key, meant: unknown.meant });
      }
    }
  }
  const explained = new Set(misspellings.map(({ parent, meant }) => pointerOf([...parent, meant])));
  const worded = new Set<string>();
  for (const issue of issues) {
    if (issue.code === 'unrecognized_keys') continue;
    const next = faultOfIssue(schema, issue, document);
    if (next.code === 'missing-key' && explained.has(next.pointer)) continue;
    // One value may break several bounds of its schema (an integer beyond 2^53): still one fault.
    if (!worded.has(next.message)) faults.push(next);
    worded.add(next.message);
  }
  return {
    faults: faults.filter((one) => !tooLong.some((start) => one.pointer.startsWith(start))),
    misspellings,
  };
}
