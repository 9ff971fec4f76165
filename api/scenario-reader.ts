import { compiledFile } from '../worker/compiled-file.js';
import type { Logger } from '../worker/service/log.js';
import { TaskThreads } from '../worker/threads/task-threads.js';
import { ThreadNotStarted } from '../worker/threads/thread-faults.js';
import submittedScenario, { type SubmittedScenario } from './submitted-scenario.js';

/** Larger ones take longer than others should wait: 10 MB take about a second. */
const READ_HERE_BYTES = 250_000;
const THREADS = 2;

/** Reads submitted scenarios: small ones at once, large ones in a thread, so that others are answered meanwhile. */
export class ScenarioReader {
  private readonly threads: TaskThreads<Uint8Array, SubmittedScenario>;

  constructor(log: Pick<Logger, 'error'>) {
    this.threads = new TaskThreads({
      module: compiledFile('api/submitted-scenario.js'),
      threads: THREADS,
      onFault: (error) => log.error({ error }, 'thread ended'),
    });
  }

  async read(bytes: Uint8Array): Promise<SubmittedScenario> {
    if (bytes.byteLength <= READ_HERE_BYTES) return submittedScenario(bytes);
    try {
      return await this.threads.run(bytes);
    } catch (error) {
      // Better that others wait a second than that nothing is accepted.
      if (error instanceof ThreadNotStarted) return submittedScenario(bytes);
      throw error;
    }
  }

  async close(): Promise<void> {
    await this.threads.close();
  }
}
