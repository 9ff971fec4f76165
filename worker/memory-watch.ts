/**
 * Watches the process' resident memory while parts run. A thread's heap has its own hard limit, but typed arrays lie
 * outside every heap, and a thread in a tight loop cannot report on itself: only the process as a whole can be measured.
 */
export interface MemoryWatch {
  /** Call when work starts on an idle process: what is resident now is not the work's doing. */
  markIdle(): void;
  /** Resolves when memory that has just been given up has gone back to the system (or after one second). */
  settled(): Promise<void>;
  close(): void;
}

const SAMPLE_MILLISECONDS = 100;
const SETTLED_BYTES = 16 * 2 ** 20;

/**
 * @param limitBytes resident bytes that the work may add to the idle process, asked at every sample; null: nothing runs
 * @param onExceeded called at every sample above the limit
 */
export function watchMemory(limitBytes: () => number | null, onExceeded: () => void): MemoryWatch {
  let idleBytes = process.memoryUsage.rss();
  const timer = setInterval(() => {
    const limit = limitBytes();
    if (limit !== null && process.memoryUsage.rss() > idleBytes + limit) onExceeded();
  }, SAMPLE_MILLISECONDS);
  timer.unref();

  return {
    markIdle: () => {
      idleBytes = process.memoryUsage.rss();
    },
    settled: () =>
      new Promise((resolve) => {
        let last = process.memoryUsage.rss();
        let samples = 0;
        const poll = setInterval(() => {
          const now = process.memoryUsage.rss();
          samples += 1;
          if (Math.abs(now - last) < SETTLED_BYTES || samples >= 10) {
            clearInterval(poll);
            resolve();
          }
          last = now;
        }, SAMPLE_MILLISECONDS);
      }),
    close: () => clearInterval(timer),
  };
}
