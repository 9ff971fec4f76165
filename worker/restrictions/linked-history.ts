import { createHash } from 'node:crypto';
import { BrokenHistoryError } from './restriction.js';
import type { RestrictionEvent } from './restriction-event.js';
import { storedEvent } from './stored-event.js';

/**
 * Reads a history as stored, oldest entry first, with every link of the chain checked.
 *
 * @throws BrokenHistoryError
 */
export function linkedHistory(id: string, stored: readonly string[]): readonly RestrictionEvent[] {
  return stored.map((text, index) => {
    const event = storedEvent(text);
    if (event === null) throw new BrokenHistoryError(`restriction ${id}: entry ${index + 1} cannot be read`);
    if (event.previous_sha256 !== linkTo(stored[index - 1])) {
      throw new BrokenHistoryError(`restriction ${id}: entry ${index + 1} does not follow the one before it`);
    }
    return event;
  });
}

/** What an entry carries of the one before it, as stored; null for the first. */
export function linkTo(before: string | undefined): string | null {
  return before === undefined ? null : createHash('sha256').update(before).digest('hex');
}
