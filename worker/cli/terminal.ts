import { hasCode } from '../has-code.js';

/** Where a command writes and what it may know of the place it runs in; tests hand in their own. */
export interface Terminal {
  readonly stdout: OutputStream;
  readonly stderr: OutputStream;
  readonly environment: Readonly<Record<string, string | undefined>>;
}

/** The part of a Node stream that the command line uses. */
export interface OutputStream {
  readonly isTTY?: boolean;
  readonly columns?: number;
  write(text: string, done?: (error?: Error | null) => void): boolean;
}

/** Width of a table on a stream that is no terminal. */
const plainWidth = 120;

/** Columns that a table may take. */
export function widthOf(stream: OutputStream): number {
  return stream.isTTY && stream.columns ? Math.max(40, stream.columns) : plainWidth;
}

/** Colour only for a person at a terminal who has not asked to go without (NO_COLOR, no-color.org; TERM=dumb). */
export function wantsColour(stream: OutputStream, environment: Terminal['environment']): boolean {
  return Boolean(stream.isTTY) && !environment.NO_COLOR && environment.TERM !== 'dumb';
}

/**
 * Writes and waits until the text has left for the reader, so that a large result is whole before the process ends.
 * A reader that has gone (EPIPE: the output was piped into `head`) has what it wanted: no error.
 *
 * @throws OutputClosedError when the stream cannot take the text for any other reason, for instance a full disk.
 */
export function writeOut(stream: OutputStream, text: string): Promise<void> {
  return new Promise((resolve, reject) => {
    stream.write(text, (error) => {
      if (!error || hasCode(error, 'EPIPE')) resolve();
      else reject(new OutputClosedError(error));
    });
  });
}

/** Standard output cannot be written to; the caller can free the disk or choose another place. */
export class OutputClosedError extends Error {
  override readonly name = 'OutputClosedError';
  constructor(cause: Error) {
    super(`standard output cannot be written: ${cause.message}`, { cause });
  }
}
