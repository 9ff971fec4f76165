import { hasCode } from '../has-code.js';

/** A thread ended before it could take a task: the machine refused it, or what it was to load is missing or broken. The cause says which. */
export class ThreadNotStarted extends Error {
  override readonly name = 'ThreadNotStarted';
  constructor(cause: unknown) {
    super(`a thread could not be started: ${cause instanceof Error ? cause.message : String(cause)}`, {
      cause,
    });
  }
}

/** A thread ended of itself, without an error and without an answer. */
export class ThreadEnded extends Error {
  override readonly name = 'ThreadEnded';
  constructor(code: number) {
    super(`the thread ended with code ${code}`);
  }
}

/** Too many threads or files, or too little memory, at this moment: the same may work a little later. */
export function isRefusedByMachine(error: unknown): boolean {
  if (error instanceof ThreadNotStarted) return isRefusedByMachine(error.cause);
  return hasCode(error, 'ERR_WORKER_INIT_FAILED', 'EAGAIN', 'EMFILE', 'ENFILE', 'ENOMEM');
}
