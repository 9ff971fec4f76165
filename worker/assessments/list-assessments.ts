import { refusesToWrite } from '../service/redis.js';
import { assessmentKeys } from './assessment-keys.js';
import type { AssessmentRecord, AssessmentState } from './assessment-record.js';
import type { AssessmentStore } from './assessment-store.js';

/** Place in the list: time of submission and id of the last entry seen. */
export interface AssessmentCursor {
  readonly milliseconds: number;
  readonly id: string;
}

export interface AssessmentPage {
  readonly items: readonly AssessmentRecord[];
  readonly next: AssessmentCursor | null;
}

/** Newest first. An entry whose record has expired is dropped from the lists on the way, where Redis takes that. */
export async function listAssessments(
  store: AssessmentStore,
  { state, after, limit }: { state: AssessmentState | null; after: AssessmentCursor | null; limit: number },
): Promise<AssessmentPage> {
  const list = state === null ? assessmentKeys.all : assessmentKeys.inState(state);
  const items: AssessmentRecord[] = [];
  let cursor = after;
  for (;;) {
    const chunk = await entriesAfter(store, list, cursor, limit + 1);
    for (const entry of chunk) {
      if (items.length === limit) return { items, next: cursor };
      const record = await store.record(entry.id);
      if (record === null) await dropEntry(store, list, entry.id);
      else items.push(record);
      cursor = entry;
    }
    if (chunk.length <= limit) return { items, next: null };
  }
}

async function dropEntry({ redis }: AssessmentStore, list: string, id: string): Promise<void> {
  try {
    await redis.multi().zrem(list, id).zrem(assessmentKeys.all, id).exec();
  } catch (error) {
    // Left for a later look: the list is read all the same.
    if (!refusesToWrite(error)) throw error;
  }
}

/** Entries of equal time are ordered by id, descending, as Redis itself does in a reverse range. */
async function entriesAfter(
  { redis }: AssessmentStore,
  list: string,
  after: AssessmentCursor | null,
  count: number,
): Promise<readonly AssessmentCursor[]> {
  const found: AssessmentCursor[] = [];
  let offset = 0;
  while (found.length < count) {
    const flat = await redis.zrevrangebyscore(
      list,
      after?.milliseconds ?? '+inf',
      '-inf',
      'WITHSCORES',
      'LIMIT',
      offset,
      count,
    );
    for (let index = 0; index < flat.length; index += 2) {
      const entry = { id: flat[index] ?? '', milliseconds: Number(flat[index + 1]) };
      const seen = after !== null && entry.milliseconds === after.milliseconds && entry.id >= after.id;
      if (!seen && found.length < count) found.push(entry);
    }
    if (flat.length < 2 * count) break;
    offset += count;
  }
  return found;
}
