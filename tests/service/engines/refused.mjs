// The engine of the other tests, where the machine has nothing to spare for the first two threads of a process.
import { isMainThread, threadId } from 'node:worker_threads';

export { gatherResult, planAssessment, runPart } from './faulty.mjs';

if (!isMainThread && threadId <= 2) throw Object.assign(new Error('too many open files'), { code: 'EMFILE' });
