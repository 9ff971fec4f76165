import { type Logger, pino } from 'pino';

export type { Logger } from 'pino';

/** Structured log, one JSON object a line, on standard output, with secrets left out. */
export function createLog(level: string, part: 'api' | 'worker'): Logger {
  return pino({
    level,
    base: { part, pid: process.pid },
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
