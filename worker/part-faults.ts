import type { AssessmentPart } from './assessment.js';
import { isRefusedByMachine } from './threads/thread-faults.js';

/** Part in words, for messages. */
export function describePart(part: AssessmentPart): string {
  return part.trains.length === 0
    ? `case ${part.damageCase}`
    : `case ${part.damageCase}, ${part.trains.join(', ')}`;
}

/** The caller asked for the part to end. */
export class PartCancelled extends Error {
  override readonly name = 'PartCancelled';
  constructor(part: AssessmentPart) {
    super(`${describePart(part)}: cancelled`);
  }
}

const remedies = {
  time: 'assess fewer trains or speeds at once, or give the parts of a worker more time (DECKPACE_PART_SECONDS)',
  memory:
    'assess fewer trains at once or a shorter stretch, or give the parts of a worker more memory (DECKPACE_PART_MEGABYTES)',
} as const;

/** The part ran into its time or memory limit; running it again would too. */
export class PartLimitExceeded extends Error {
  override readonly name = 'PartLimitExceeded';
  readonly limit: 'time' | 'memory';
  constructor(part: AssessmentPart, limit: 'time' | 'memory', bound: string) {
    super(
      `${describePart(part)}: ended because it exceeded its ${limit} limit of ${bound}; ${remedies[limit]}`,
    );
    this.limit = limit;
  }
}

/** The thread that computed the part ended by itself. */
export class PartCrashed extends Error {
  override readonly name = 'PartCrashed';
  constructor(part: AssessmentPart, detail: string) {
    super(`${describePart(part)}: the computing thread ended unexpectedly (${detail})`);
  }
}

/** The part was never begun: no thread could be had, or the engine could not be loaded. */
export class PartNotStarted extends Error {
  override readonly name = 'PartNotStarted';
  /** Whether the machine refused it for the moment, so that a retry may cure it. */
  readonly curable: boolean;
  constructor(part: AssessmentPart, cause: unknown) {
    const curable = isRefusedByMachine(cause);
    const remedy = curable
      ? 'the machine has too few threads, files or memory to spare: raise its limits or compute fewer parts at a time (--threads, DECKPACE_THREADS)'
      : 'the program is not whole, or the engine it was told to use is not: install or build it again';
    const why = cause instanceof Error ? cause.message : String(cause);
    super(`${describePart(part)}: the computation could not be started (${why}); ${remedy}`, { cause });
    this.curable = curable;
  }
}

/** The computation threw: the same scenario will throw again. */
export class PartFailed extends Error {
  override readonly name = 'PartFailed';
  /** Name of the error class that the computation threw. */
  readonly thrown: string;
  constructor(part: AssessmentPart, thrown: string, message: string, stack?: string) {
    super(`${describePart(part)}: ${message}`);
    this.thrown = thrown;
    if (stack !== undefined) this.stack = stack;
  }
}
