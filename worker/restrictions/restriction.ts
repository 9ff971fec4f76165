import { z } from 'zod';
import { type RestrictionEvent, restrictionTerms } from './restriction-event.js';

export const restrictionState = z.enum(['draft', 'in-force', 'withdrawn', 'superseded']);
export type RestrictionState = z.infer<typeof restrictionState>;

/** A restriction as its history leaves it. */
export const restriction = z.strictObject({
  id: z.string(),
  state: restrictionState,
  ...restrictionTerms.shape,
  drafted_by: z.string(),
  drafted_at: z.iso.datetime(),
  approved_by: z.string().nullable(),
  approved_at: z.iso.datetime().nullable(),
  /** Restriction that took this one's place. */
  successor: z.string().nullable(),
  /** Number of events so far. */
  version: z.int().positive(),
});
export type Restriction = Readonly<z.infer<typeof restriction>>;

/** A history that does not begin with a draft, or whose entries do not follow each other. */
export class BrokenHistoryError extends Error {
  override readonly name = 'BrokenHistoryError';
}

/**
 * Folds a history, oldest entry first.
 *
 * @throws BrokenHistoryError
 */
export function restrictionFrom(history: readonly RestrictionEvent[]): Restriction {
  const [first, ...rest] = history;
  if (first?.type !== 'drafted') throw new BrokenHistoryError('a restriction begins with its draft');
  const draft: Restriction = {
    id: first.restriction,
    state: 'draft',
    ...first.terms,
    drafted_by: first.by.holder,
    drafted_at: first.at,
    approved_by: null,
    approved_at: null,
    successor: null,
    version: 1,
  };
  return rest.reduce(apply, draft);
}

function apply(before: Restriction, event: RestrictionEvent): Restriction {
  if (event.sequence !== before.version + 1 || event.restriction !== before.id) {
    throw new BrokenHistoryError(
      `restriction ${before.id}: entry ${event.sequence} after entry ${before.version}`,
    );
  }
  const version = event.sequence;
  switch (event.type) {
    case 'drafted':
      throw new BrokenHistoryError(`restriction ${before.id} is drafted twice`);
    case 'approved':
      return { ...before, version, state: 'in-force', approved_by: event.by.holder, approved_at: event.at };
    case 'withdrawn':
      return { ...before, version, state: 'withdrawn' };
    case 'superseded':
      return { ...before, version, state: 'superseded', successor: event.successor };
  }
}
