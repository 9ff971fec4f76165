// The engine of the other tests, where the machine has nothing to spare for gathering in the first two threads of a process.
import { threadId } from 'node:worker_threads';
import { gatherResult as gatherAtOnce } from './faulty.mjs';

export { planAssessment, runPart } from './faulty.mjs';

export function gatherResult(...inputs) {
  if (threadId <= 2) throw Object.assign(new Error('too many open files'), { code: 'EMFILE' });
  return gatherAtOnce(...inputs);
}
