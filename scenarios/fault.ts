import type { FaultCode } from './fault-codes.js';

/** One thing wrong with a scenario file, as data first and as a sentence last. */
export interface Fault {
  /** Where: JSON pointer (RFC 6901); the empty string is the whole file. */
  readonly pointer: string;
  readonly code: FaultCode;
  /** What stands there. */
  readonly found: string;
  /** What is accepted, with unit and range. */
  readonly accepted: string;
  /** The slip that was probably made; null where there is no likely one. */
  readonly guess: string | null;
  /** All of it in one line. */
  readonly message: string;
}

export type Path = readonly PropertyKey[];

/** RFC 6901 pointer of a path. */
export function pointerOf(path: Path): string {
  return path.map((part) => `/${String(part).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('');
}

/** Builds a fault and its message. */
export function fault(
  path: Path,
  code: FaultCode,
  parts: { readonly found: string; readonly accepted: string; readonly guess?: string | null },
): Fault {
  const pointer = pointerOf(path);
  const guess = parts.guess ?? null;
  const where = pointer === '' ? 'the file' : pointer;
  const message = `${where}: found ${parts.found}; accepted: ${parts.accepted}.${guess === null ? '' : ` ${guess}`}`;
  return { pointer, code, found: parts.found, accepted: parts.accepted, guess, message };
}
