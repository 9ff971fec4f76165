import { InterruptedError } from './command-errors.js';

/**
 * Runs something that Ctrl-C and SIGTERM stop through an AbortSignal, so that threads are ended and half-written files removed.
 * Only for work that leaves the event loop free: while one thread computes, the system's own handling ends the process at once.
 *
 * @throws InterruptedError when stopped
 */
export async function interruptible<T>(action: (signal: AbortSignal) => Promise<T>): Promise<T> {
  const controller = new AbortController();
  const stop = (signalName: NodeJS.Signals): void => {
    if (signalName === 'SIGINT' || signalName === 'SIGTERM')
      controller.abort(new InterruptedError(signalName));
  };
  process.once('SIGINT', stop);
  process.once('SIGTERM', stop);
  try {
    return await action(controller.signal);
  } catch (error) {
    throw controller.signal.aborted ? controller.signal.reason : error;
  } finally {
    process.off('SIGINT', stop);
    process.off('SIGTERM', stop);
  }
}
