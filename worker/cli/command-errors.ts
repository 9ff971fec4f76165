import type { Fault } from '../../scenarios/fault.js';

/** The command line itself asks for something that does not exist or does not fit together. */
export class UsageError extends Error {
  override readonly name = 'UsageError';
}

/** No Redis answers, or one that will not do: too old, losing keys, without the rights. As when it goes later, the system of the service has to be put right. */
export class StoreUnfitError extends Error {
  override readonly name = 'StoreUnfitError';
}

/** Redis, which answered before, did not carry a command out: full, a replica, gone. The system of the service has to be put right, not the command. */
export class StoreRefusedError extends Error {
  override readonly name = 'StoreRefusedError';
  constructor(cause: Error) {
    super(
      `Redis did not carry this out (${cause.message}). Put Redis right, see with the lists what was done, and run the command again.`,
      { cause },
    );
  }
}

/** A file cannot be read: absent, a directory, not permitted. The system's error is its cause and decides the exit code. */
export class UnreadableFileError extends Error {
  override readonly name = 'UnreadableFileError';
}

/** The results cannot be written where they should go: not permitted, disk full, a file in the way. The system's error is its cause. */
export class UnwritableOutputError extends Error {
  override readonly name = 'UnwritableOutputError';
}

/** Results are not what they were: `regression` and `diff` were asked to tell. */
export class ResultsChangedError extends Error {
  override readonly name = 'ResultsChangedError';
}

/** The record of restrictions has faults that no program may put right; lists that contain them are refused. */
export class RecordAtFaultError extends Error {
  override readonly name = 'RecordAtFaultError';
  constructor(readonly faults: readonly string[]) {
    super(
      `somebody has to look into this (worker/README.md, Backup):\n${faults.map((one) => `  ${one}`).join('\n')}`,
    );
  }
}

/** The caller stopped the command (Ctrl-C, SIGTERM). */
export class InterruptedError extends Error {
  override readonly name = 'InterruptedError';
  constructor(readonly signalName: 'SIGINT' | 'SIGTERM') {
    super('stopped before the end; unfinished results were not written');
  }
}

/** What is wrong with one scenario file. */
export interface FileFaults {
  readonly file: string;
  readonly faults: readonly Fault[];
  /** Why nothing of the file could be looked at; absent where it was read. */
  readonly unreadable?: UnreadableFileError;
}

/** One or more files are no valid scenarios, or cannot be read; nothing was run. */
export class InvalidScenarioError extends Error {
  override readonly name = 'InvalidScenarioError';
  constructor(readonly files: readonly FileFaults[]) {
    super(files.map(faultsText).join('\n'));
  }
}

/** Every fault of a file on a line of its own: pointer, what was found, what is accepted, and the likely slip. */
export function faultsText({ file, faults, unreadable }: FileFaults): string {
  if (unreadable) return unreadable.message;
  const count = faults.length === 1 ? '1 fault' : `${faults.length} faults`;
  return [`${file}: ${count}`, ...faults.map((fault) => `  ${fault.message}`)].join('\n');
}
