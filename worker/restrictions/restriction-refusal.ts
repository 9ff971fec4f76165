export const refusalCodes = [
  'no-such-recommendation',
  'nothing-to-restrict',
  'only-closure',
  'higher-than-recommended',
  'reason-missing',
  'chainage-missing',
  'chainage-too-short',
  'author-cannot-approve',
  'approver-needed',
  'wrong-state',
  'predecessor-not-in-force',
  'predecessor-not-covered',
] as const;
export type RefusalCode = (typeof refusalCodes)[number];

/** The rules of the restriction record do not allow it; the message says why and what would be allowed. */
export class RestrictionRefusal extends Error {
  override readonly name = 'RestrictionRefusal';
  constructor(
    readonly code: RefusalCode,
    message: string,
  ) {
    super(message);
  }
}
