import { parentPort, workerData } from 'node:worker_threads';
import type { FromThread, TaskHandler } from './task-handler.js';

// Entry of a thread of TaskThreads: loads the module that it is told, and answers tasks until it is ended.
if (parentPort === null) throw new Error('task-thread.js is the entry of a thread: TaskThreads starts it');
const port = parentPort;
const say = (message: FromThread<unknown, unknown>): void => port.postMessage(message);

const { default: handle } = (await import(workerData)) as {
  readonly default: TaskHandler<unknown, unknown, unknown>;
};
port.on('message', async (task: unknown) => {
  const answer = await handle(task, (report) => say({ kind: 'report', report }));
  say({ kind: 'answer', answer });
});
say({ kind: 'ready' });
