import type { Scenario } from '../scenarios/scenario.js';
import type { AssessmentPart, PartProgress, PartResult, RunPart } from './assessment.js';
import type { TaskHandler } from './threads/task-handler.js';

/** What the pool sends to a thread. */
export interface PartTask {
  /** Module that exports `runPart`. */
  readonly engine: string;
  readonly scenario: Scenario;
  readonly part: AssessmentPart;
}

/** What a thread reports: 'begun' when the computation begins, then progress. */
export type PartReport = PartProgress | 'begun';

/** What a thread answers. An error of the computation is an answer; anything else that goes wrong ends the thread. */
export type PartAnswer =
  | { readonly ok: true; readonly result: PartResult }
  | { readonly ok: false; readonly thrown: string; readonly message: string; readonly stack?: string };

/** ms: nobody watches progress more closely, and telling costs both threads a tenth of a millisecond. */
const reportInterval = 100;

/** Passes on the first report, the end of each train and what lies far enough apart in between. */
function atIntervals(report: (progress: PartProgress) => void): (progress: PartProgress) => void {
  let next = 0;
  return (progress) => {
    const now = performance.now();
    if (progress.fraction < 1 && now < next) return;
    next = now + reportInterval;
    report(progress);
  };
}

const runPartInThread: TaskHandler<PartTask, PartAnswer, PartReport> = async (task, report) => {
  const engine = (await import(task.engine)) as { readonly runPart: RunPart };
  report('begun');
  try {
    const result = engine.runPart(task.scenario, task.part, { onProgress: atIntervals(report) });
    return { ok: true, result };
  } catch (error) {
    if (!(error instanceof Error)) return { ok: false, thrown: typeof error, message: String(error) };
    return {
      ok: false,
      thrown: error.name,
      message: error.message,
      ...(error.stack === undefined ? {} : { stack: error.stack }),
    };
  }
};

/** What a computing thread does: runs one part to its end. */
export default runPartInThread;
