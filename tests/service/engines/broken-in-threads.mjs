// The engine of the other tests, but no thread can load it.
import { isMainThread } from 'node:worker_threads';

export { gatherResult, planAssessment, runPart } from './faulty.mjs';

if (!isMainThread) throw new Error('a file of the engine is missing');
