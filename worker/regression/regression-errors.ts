/** What was asked to be accepted is no result. */
export class NothingToAcceptError extends Error {
  override readonly name = 'NothingToAcceptError';
}

/** The acceptance log is not what this program wrote: somebody edited it by hand or merged it badly. */
export class AcceptanceLogError extends Error {
  override readonly name = 'AcceptanceLogError';
}

/** A file is not a result of this version of the format; the message says what it is and what to do. */
export class NotAResultError extends Error {
  override readonly name = 'NotAResultError';
}

/** The set itself is broken: no scenario left after filtering, or a file that is no scenario. */
export class RegressionSetError extends Error {
  override readonly name = 'RegressionSetError';
}
