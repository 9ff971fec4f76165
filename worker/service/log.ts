import { type Logger, pino } from 'pino';

export type { Logger } from 'pino';

/** Structured log, one JSON object a line, on standard output, with secrets left out. */
export function createLog(level: string, part: 'api' | 'worker'): Logger {
  return pino({
    level,
    base: { part, pid: process.pid },
    serializers: { error: loggedError, err: loggedError },
    redact: {
      paths: [
        'authorization',
        'headers.authorization',
        'req.headers.authorization',
        'req.headers.cookie',
        'secret',
        '*.secret',
        'token',
        '*.token',
      ],
      censor: '[redacted]',
    },
  });
}

/**
 * What the log says of an error: named fields only, because an error carries whatever its thrower hung on it; one of Redis has
 * the arguments of its command, signing secrets among them. What is no error is logged as it is.
 */
export function loggedError(given: unknown): unknown {
  // pino-http hands over what it made of an error, with the error as raw.
  const error = typeof given === 'object' && given !== null && 'raw' in given ? given.raw : given;
  if (!(error instanceof Error)) return error;
  const { type, message, stack } = pino.stdSerializers.err(error);
  return {
    type,
    message,
    ...('code' in error && typeof error.code === 'string' ? { code: error.code } : {}),
    ...('command' in error ? { command: nameOf(error.command) } : {}),
    stack,
  };
}

function nameOf(command: unknown): string {
  return typeof command === 'object' && command !== null && 'name' in command ? String(command.name) : '';
}
