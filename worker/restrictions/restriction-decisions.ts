import { mostPermitted } from './most-permitted.js';
import type { Restriction } from './restriction.js';
import type { Actor } from './restriction-event.js';
import { RestrictionRefusal } from './restriction-refusal.js';

/**
 * May this person put the draft in force? Only somebody other than its author, as a person, not as a key.
 *
 * @param predecessor the restriction that the draft supersedes, as it is now; null when it supersedes none
 * @throws RestrictionRefusal
 */
export function assertApprovable(draft: Restriction, approver: Actor, predecessor: Restriction | null): void {
  if (draft.state !== 'draft') {
    throw new RestrictionRefusal(
      'wrong-state',
      `Restriction ${draft.id} is ${draft.state}; only a draft can be approved.`,
    );
  }
  if (samePerson(draft.drafted_by, approver.holder)) {
    throw new RestrictionRefusal(
      'author-cannot-approve',
      `${draft.drafted_by} drafted restriction ${draft.id}; somebody else must approve it.`,
    );
  }
  assertNoFaster(draft);
  if (draft.supersedes !== null && predecessor?.state !== 'in-force') {
    throw new RestrictionRefusal(
      'predecessor-not-in-force',
      `Restriction ${draft.supersedes}, which this one supersedes, is no longer in force: draft again.`,
    );
  }
}

/** Judged when it was drafted, and once more now: what lies between the two may have been changed. @throws RestrictionRefusal */
function assertNoFaster({
  id,
  permitted_speed_kmh: permitted,
  recommended_speed_kmh: recommended,
  recommended_status: status,
}: Restriction): void {
  if (permitted === null) return;
  const most = mostPermitted(status, recommended);
  if (most === null) {
    throw new RestrictionRefusal(
      'only-closure',
      `Restriction ${id} permits ${permitted} km/h where the case is ${status}: withdraw it and draft a closure.`,
    );
  }
  if (permitted > most) {
    throw new RestrictionRefusal(
      'higher-than-recommended',
      `Restriction ${id} permits ${permitted} km/h, more than the recommended ${most} km/h: withdraw it and draft again.`,
    );
  }
}

/**
 * May it be withdrawn? A restriction in force by an approver, because that lifts it; a draft also by its author.
 *
 * @throws RestrictionRefusal
 */
export function assertWithdrawable(restriction: Restriction, by: Actor, isApprover: boolean): void {
  if (restriction.state !== 'draft' && restriction.state !== 'in-force') {
    throw new RestrictionRefusal(
      'wrong-state',
      `Restriction ${restriction.id} is ${restriction.state} already.`,
    );
  }
  const ownDraft = restriction.state === 'draft' && samePerson(restriction.drafted_by, by.holder);
  if (!isApprover && !ownDraft) {
    throw new RestrictionRefusal(
      'approver-needed',
      `Withdrawing restriction ${restriction.id} takes an approver${restriction.state === 'draft' ? ' or its author' : ''}.`,
    );
  }
}

/** Two keys of one person are still one person, also where a name was pasted with characters that nobody sees. */
function samePerson(one: string, other: string): boolean {
  const plain = (name: string) =>
    name
      .normalize('NFKC')
      .replace(/\p{Cf}/gu, '')
      .replace(/[\s\p{Cc}]+/gu, ' ')
      .trim()
      .toLowerCase();
  return plain(one) === plain(other);
}
