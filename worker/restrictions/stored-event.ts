import { storedJson } from '../service/stored-json.js';
import { type RestrictionEvent, restrictionEvent } from './restriction-event.js';

/** An event as stored; null where it cannot be read. */
export const storedEvent = (text: string): RestrictionEvent | null => storedJson(restrictionEvent, text);
