import { type RestrictionEvent, restrictionEvent } from './restriction-event.js';

/** An event as stored; null where it cannot be read. */
export function storedEvent(text: string): RestrictionEvent | null {
  try {
    return restrictionEvent.parse(JSON.parse(text));
  } catch {
    return null;
  }
}
