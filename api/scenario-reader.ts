import { Piscina } from 'piscina';
import { compiledFile } from '../worker/compiled-file.js';
import submittedScenario, { type SubmittedScenario } from './submitted-scenario.js';

/** Larger ones take longer than others should wait: 10 MB take about a second. */
const READ_HERE_BYTES = 250_000;
const THREADS = 2;

/** Reads submitted scenarios: small ones at once, large ones in a thread, so that others are answered meanwhile. */
export class ScenarioReader {
  private readonly threads = new Piscina<Uint8Array, SubmittedScenario>({
    filename: compiledFile('api/submitted-scenario.js').href,
    minThreads: 0,
    maxThreads: THREADS,
    idleTimeout: 30_000,
    concurrentTasksPerWorker: 1,
  });

  constructor() {
    // A thread that dies without a task has nobody to tell; the next task gets a new one.
    this.threads.on('error', () => {});
  }

  async read(bytes: Uint8Array): Promise<SubmittedScenario> {
    return bytes.byteLength > READ_HERE_BYTES ? this.threads.run(bytes) : submittedScenario(bytes);
  }

  async close(): Promise<void> {
    await this.threads.destroy();
  }
}
