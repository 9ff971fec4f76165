import { createHash } from 'node:crypto';
import { BrokenHistoryError } from './restriction.js';
import type { RestrictionEvent } from './restriction-event.js';
import { storedEvent } from './stored-event.js';

/**
 * Reads a history as stored, oldest entry first, with every link of the chain checked and the entry that was the newest when its
 * head was kept; an earlier version may have appended more since.
 *
 * @param head as kept beside the history; null where none is
 * @throws BrokenHistoryError
 */
export function linkedHistory(
  id: string,
  stored: readonly string[],
  head: string | null,
): readonly RestrictionEvent[] {
  const events = stored.map((text, index) => {
    const event = storedEvent(text);
    if (event === null) throw new BrokenHistoryError(`restriction ${id}: entry ${index + 1} cannot be read`);
    if (event.previous_sha256 !== linkTo(stored[index - 1])) {
      throw new BrokenHistoryError(`restriction ${id}: entry ${index + 1} does not follow the one before it`);
    }
    return event;
  });
  const [length = '0'] = head?.split(' ') ?? [];
  if (head !== null && headOf(stored.slice(0, Number(length))) !== head)
    throw new BrokenHistoryError(`restriction ${id}: entry ${length} is gone or is not as it was written`);
  return events;
}

/** What is kept beside a history: its length and the hash of its newest entry, which no other entry carries yet. */
export function headOf(stored: readonly string[]): string {
  return `${stored.length} ${linkTo(stored.at(-1))}`;
}

/** What an entry carries of the one before it, as stored; null for the first. */
export function linkTo(before: string | undefined): string | null {
  return before === undefined ? null : createHash('sha256').update(before).digest('hex');
}
