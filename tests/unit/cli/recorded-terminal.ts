import type { OutputStream, Terminal } from '../../../worker/cli/terminal.js';

/** A terminal that keeps what was written to it. */
export interface RecordedTerminal extends Terminal {
  readonly output: () => string;
  readonly errors: () => string;
}

/** @param terminal columns of a real terminal; absent: a file or a pipe */
export function recordedTerminal(terminal?: { readonly columns: number }): RecordedTerminal {
  const output = recordedStream(terminal);
  const errors = recordedStream(terminal);
  return {
    stdout: output.stream,
    stderr: errors.stream,
    environment: {},
    output: output.text,
    errors: errors.text,
  };
}

/** A stream that keeps what was written to it. */
export function recordedStream(terminal?: { readonly columns: number }): {
  readonly stream: OutputStream;
  readonly text: () => string;
} {
  const written: string[] = [];
  const stream: OutputStream = {
    ...(terminal && { isTTY: true, columns: terminal.columns }),
    write(text, done) {
      written.push(text);
      done?.();
      return true;
    },
  };
  return { stream, text: () => written.join('') };
}
