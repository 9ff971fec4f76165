import type { z } from 'zod';
import { type Fault, type Path, pointerOf } from '../fault.js';
import { scenarioBounds } from '../schema/bounds.js';
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
  /** Departures beyond the bound on listed faults, not worded. */
  readonly unlisted: number;
}

/**
 * Words the departures of a document from a schema as faults, one each. A misspelt key is one fault, not an unknown and a
 * missing one. Nothing beneath a list that is too long is reported: the list's own fault says it all. At most
 * `faultsListed` of each sort are worded, so that a large broken file costs little.
 */
export function shapeFaults(
  schema: z.ZodType,
  issues: readonly z.core.$ZodIssue[],
  document: unknown,
): ShapeFaults {
  const relevant = withoutTooLongLists(issues);
  const unknownKeys = relevant.filter((issue) => issue.code === 'unrecognized_keys');
  const others = relevant.filter((issue) => issue.code !== 'unrecognized_keys');
  const keys = unknownKeys.reduce((sum, issue) => sum + issue.keys.length, 0);
  const faults: Fault[] = [];
  const misspellings: Misspelling[] = [];
  for (const issue of unknownKeys) {
    const room = scenarioBounds.faultsListed - faults.length;
    if (room === 0) break;
    for (const unknown of unknownKeyFaults(schema, issue, document, room)) {
      faults.push(unknown.fault);
      if (unknown.meant !== null) {
        misspellings.push({ parent: issue.path, found: unknown.key, meant: unknown.meant });
      }
    }
  }
  const unlistedKeys = keys - faults.length;
  const explained = new Set(misspellings.map(({ parent, meant }) => pointerOf([...parent, meant])));
  const worded = new Set<string>();
  for (const issue of others.slice(0, scenarioBounds.faultsListed)) {
    const next = faultOfIssue(schema, issue, document);
    if (next.code === 'missing-key' && explained.has(next.pointer)) continue;
    // One value may break several bounds of its schema (an integer beyond 2^53): still one fault.
    if (!worded.has(next.message)) faults.push(next);
    worded.add(next.message);
  }
  return {
    faults,
    misspellings,
    unlisted: unlistedKeys + Math.max(0, others.length - scenarioBounds.faultsListed),
  };
}

function withoutTooLongLists(issues: readonly z.core.$ZodIssue[]): readonly z.core.$ZodIssue[] {
  const tooLong = new Set(
    issues
      .filter((issue) => issue.code === 'too_big' && issue.origin === 'array')
      .map((issue) => pointerOf(issue.path)),
  );
  if (tooLong.size === 0) return issues;
  return issues.filter(
    (issue) => !issue.path.some((_, depth) => tooLong.has(pointerOf(issue.path.slice(0, depth)))),
  );
}
