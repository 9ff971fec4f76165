/** What computes, as one module: the in-process runner, the thread pool and the queue import this and nothing else. */
export { gatherResult } from './gather.js';
export { planAssessment } from './plan.js';
export { runPart } from './run-part.js';
