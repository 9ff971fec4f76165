import { runWorker } from '../queue/run-worker.js';
import { runProcess } from './run-process.js';

/** One worker process: `node dist/worker/service/main.js`. */
await runProcess('worker', runWorker);
