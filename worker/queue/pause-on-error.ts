import type { Worker } from 'bullmq';
import type { Logger } from '../service/log.js';

const PAUSE_MILLISECONDS = 1000;

/**
 * Logs the errors of a worker, and lets it look for work again only a second after one: where Redis refuses its writes, BullMQ
 * would ask again at once, thousands of times a second. Work in hand goes on meanwhile.
 */
export function pauseOnError(worker: Worker, log: Logger): void {
  let timer: NodeJS.Timeout | undefined;
  worker.on('closing', () => clearTimeout(timer));
  worker.on('error', (error) => {
    const pausing = worker.isPaused() || worker.closing !== undefined;
    log[pausing ? 'debug' : 'warn']({ error, queue: worker.name }, 'worker');
    if (pausing) return;
    void worker.pause(true);
    timer = setTimeout(() => void worker.resume(), PAUSE_MILLISECONDS);
  });
}
