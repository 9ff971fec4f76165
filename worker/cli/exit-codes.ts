import { CommanderError } from 'commander';
import { hasCode } from '../has-code.js';
import { PartLimitExceeded, PartNotStarted } from '../part-faults.js';
import {
  AcceptanceLogError,
  NotAResultError,
  NothingToAcceptError,
  RegressionSetError,
} from '../regression/regression-errors.js';
import {
  InterruptedError,
  InvalidScenarioError,
  RecordAtFaultError,
  ResultsChangedError,
  StoreRefusedError,
  StoreUnfitError,
  UnreadableFileError,
  UnwritableOutputError,
  UsageError,
} from './command-errors.js';
import { OutputClosedError } from './terminal.js';

/** What the process tells its caller. A restricted or closed line is a result and ends with 0. */
export const exitCode = {
  assessed: 0,
  /** `regression` and `diff`: results are not what they were. */
  changed: 1,
  /** The caller can put it right: the scenario, the options, a file or a directory. */
  invalidInput: 2,
  /** A fault of this program or of the machine under it: the same input may be assessed when that is put right. */
  internalFailure: 3,
  /** 128 + number of the signal, as shells expect. */
  interrupted: 130,
  terminated: 143,
} as const;

/** The one table from what was foreseen to go wrong to what the process ends with. Whatever is not listed is an internal failure. */
const codeOfError: readonly (readonly [new (...parameters: never[]) => Error, number])[] = [
  [InvalidScenarioError, exitCode.invalidInput],
  [UsageError, exitCode.invalidInput],
  [UnreadableFileError, exitCode.invalidInput],
  [UnwritableOutputError, exitCode.invalidInput],
  [OutputClosedError, exitCode.invalidInput],
  [InterruptedError, exitCode.interrupted],
  [ResultsChangedError, exitCode.changed],
  [RegressionSetError, exitCode.invalidInput],
  [AcceptanceLogError, exitCode.invalidInput],
  [NothingToAcceptError, exitCode.invalidInput],
  [NotAResultError, exitCode.invalidInput],
  [RecordAtFaultError, exitCode.invalidInput],
  [StoreRefusedError, exitCode.internalFailure],
  [StoreUnfitError, exitCode.internalFailure],
];

/** What no change of the input, the options or a directory puts right: full, over quota or size limit, mounted to be read only (which a broken disk is as well), broken, out of files or memory. */
const codesOfTheMachine = [
  'ENOSPC',
  'EDQUOT',
  'EFBIG',
  'EROFS',
  'EIO',
  'EMFILE',
  'ENFILE',
  'ENOMEM',
] as const;

/** Exit code for anything thrown by a command. */
export function exitCodeOf(error: unknown): number {
  // Commander throws for --help and --version as well, with 0; anything else it refuses is a wrong command line.
  if (error instanceof CommanderError)
    return error.exitCode === 0 ? exitCode.assessed : exitCode.invalidInput;
  if (error instanceof InterruptedError && error.signalName === 'SIGTERM') return exitCode.terminated;
  if (isOfTheMachine(error)) return exitCode.internalFailure;
  return foreseenCode(error) ?? exitCode.internalFailure;
}

/** What is printed on standard error; empty where commander has already said it. */
export function messageOf(error: unknown): string {
  if (error instanceof CommanderError) return '';
  // What was foreseen, a part that was too large or found no thread as well, says itself what to do; a stack would only hide it.
  const saysItself =
    foreseenCode(error) !== null || error instanceof PartLimitExceeded || error instanceof PartNotStarted;
  if (error instanceof Error && saysItself) return `deckpace: ${error.message}\n`;
  const detail = error instanceof Error ? (error.stack ?? error.message) : String(error);
  return `deckpace: internal failure; no result can be trusted from this run. Please report it with the scenario file.\n${detail}\n`;
}

function foreseenCode(error: unknown): number | null {
  for (const [kind, code] of codeOfError) if (error instanceof kind) return code;
  return null;
}

/** A scenario that the machine could not read is no bad scenario, and results that it could not write are no bad input. */
function isOfTheMachine(error: unknown): boolean {
  if (error instanceof InvalidScenarioError)
    return error.files.some(({ unreadable }) => isOfTheMachine(unreadable));
  return error instanceof Error && hasCode(error.cause, ...codesOfTheMachine);
}
