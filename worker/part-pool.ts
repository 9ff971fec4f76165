import type { Scenario } from '../scenarios/scenario.js';
import type { AssessmentPart, PartProgress, PartResult } from './assessment.js';
import { compiledFile } from './compiled-file.js';
import { hasCode } from './has-code.js';
import { watchMemory } from './memory-watch.js';
import { PartCancelled, PartCrashed, PartFailed, PartLimitExceeded, PartNotStarted } from './part-faults.js';
import type { PartAnswer, PartReport, PartTask } from './part-thread.js';
import { TaskThreads } from './threads/task-threads.js';
import { ThreadNotStarted } from './threads/thread-faults.js';

export interface PartPoolOptions {
  readonly threads: number;
  /** Module that exports `runPart`, compiled; default the project's own. */
  readonly engine?: URL;
  /** Counted from the start of the computation, not from the call; default 600. */
  readonly maxSecondsPerPart?: number;
  /** Heap of a thread, and memory that a part adds to the process; default 2048. */
  readonly maxMegabytesPerPart?: number;
  /** How many threads of others in this process may take as much memory as a part, now; default none. */
  readonly threadsBeside?: () => number;
  /** Hears why a thread ended of itself, with all that is known of it; the part says it in one sentence. */
  readonly onThreadFault?: (error: Error) => void;
}

export interface RunPartOptions {
  /** Aborting it ends the computation within milliseconds, wherever it is. */
  readonly signal?: AbortSignal;
  readonly onProgress?: (progress: PartProgress) => void;
  /** Starts only when no part waits that does not give way. */
  readonly giveWay?: boolean;
}

/** Runs parts in threads, at most `threads` at a time, the others in order of arrival, those that give way last. */
export interface PartPool {
  readonly threads: number;
  /** Parts being computed now. */
  readonly busy: number;
  /**
   * @throws PartCancelled | PartLimitExceeded | PartNotStarted | PartCrashed | PartFailed
   */
  run(scenario: Scenario, part: AssessmentPart, options?: RunPartOptions): Promise<PartResult>;
  /** Ends what runs and what waits (PartCancelled) and all threads. */
  close(): Promise<void>;
}

/** What a busy machine may take to start a thread and load the engine, before the part's own time counts. */
export const START_SECONDS = 60;

interface Task {
  readonly scenario: Scenario;
  readonly part: AssessmentPart;
  readonly options: RunPartOptions;
  readonly resolve: (result: PartResult) => void;
  readonly reject: (error: Error) => void;
  /** Run with nothing beside it, to learn whether it is the one that takes the memory. */
  alone: boolean;
  /** Why the pool ended it; null while it has not. */
  ended: Error | 'repeat-alone' | null;
  abort: AbortController;
}

/** @see PartPool */
export function createPartPool(options: PartPoolOptions): PartPool {
  const { threads, maxSecondsPerPart = 600, maxMegabytesPerPart = 2048, threadsBeside = () => 0 } = options;
  const engine = (options.engine ?? compiledFile('worker/engine.js')).href;
  const computing = new TaskThreads<PartTask, PartAnswer, PartReport>({
    module: compiledFile('worker/part-thread.js'),
    threads,
    resourceLimits: { maxOldGenerationSizeMb: maxMegabytesPerPart },
    onFault: options.onThreadFault ?? (() => {}),
  });

  const waiting: Task[] = [];
  const running = new Set<Task>();
  let closed = false;
  let settling = false;

  const memory = watchMemory(
    () => (running.size === 0 ? null : (running.size + threadsBeside()) * maxMegabytesPerPart * 2 ** 20),
    () => {
      // One part alone is the culprit; of several, each is repeated alone, so that the others are unharmed.
      const culprit = running.size === 1;
      for (const task of running) {
        end(
          task,
          culprit ? new PartLimitExceeded(task.part, 'memory', `${maxMegabytesPerPart} MB`) : 'repeat-alone',
        );
      }
      if (settling) return;
      settling = true;
      void memory.settled().then(() => {
        settling = false;
        startNext();
      });
    },
  );

  function end(task: Task, why: Error | 'repeat-alone'): void {
    if (task.ended instanceof Error) return;
    task.ended = why;
    task.abort.abort();
  }

  function startNext(): void {
    while (!closed && !settling && running.size < threads) {
      const next = waiting.find(({ options: { giveWay } }) => giveWay !== true) ?? waiting[0];
      if (next === undefined) return;
      const othersRun = running.size > 0;
      if (othersRun && (next.alone || [...running].some((task) => task.alone))) return;
      waiting.splice(waiting.indexOf(next), 1);
      if (!othersRun) memory.markIdle();
      running.add(next);
      void compute(next);
    }
  }

  async function compute(task: Task): Promise<void> {
    const { part } = task;
    const limitTo = (seconds: number) =>
      setTimeout(
        () => end(task, new PartLimitExceeded(part, 'time', `${maxSecondsPerPart} s`)),
        seconds * 1000,
      );
    let timer = limitTo(maxSecondsPerPart + START_SECONDS);
    let begun = false;
    const onReport = (report: PartReport) => {
      if (report !== 'begun') return task.options.onProgress?.(report);
      begun = true;
      clearTimeout(timer);
      timer = limitTo(maxSecondsPerPart);
    };
    try {
      const answer = await computing.run(
        { engine, scenario: task.scenario, part },
        { signal: task.abort.signal, onReport },
      );
      // An answer that arrived is worth more than the abort that raced it.
      if (answer.ok) task.resolve(answer.result);
      else task.reject(new PartFailed(part, answer.thrown, answer.message, answer.stack));
    } catch (error) {
      if (task.ended === 'repeat-alone') {
        task.alone = true;
        task.ended = null;
        task.abort = new AbortController();
        waiting.unshift(task);
      } else {
        task.reject(task.ended ?? threadFault(part, error, begun, maxMegabytesPerPart));
      }
    } finally {
      clearTimeout(timer);
      running.delete(task);
      startNext();
    }
  }

  return {
    threads,
    get busy() {
      return running.size;
    },
    run: (scenario, part, runOptions = {}) =>
      new Promise<PartResult>((resolve, reject) => {
        const { signal } = runOptions;
        if (closed || signal?.aborted) return reject(new PartCancelled(part));
        const cancel = () => {
          const index = waiting.indexOf(task);
          if (index < 0) return end(task, new PartCancelled(part));
          waiting.splice(index, 1);
          task.reject(new PartCancelled(part));
        };
        const task: Task = {
          scenario,
          part,
          options: runOptions,
          resolve: (result) => {
            signal?.removeEventListener('abort', cancel);
            resolve(result);
          },
          reject: (error) => {
            signal?.removeEventListener('abort', cancel);
            reject(error);
          },
          alone: false,
          ended: null,
          abort: new AbortController(),
        };
        signal?.addEventListener('abort', cancel, { once: true });
        waiting.push(task);
        startNext();
      }),
    close: async () => {
      closed = true;
      memory.close();
      for (const task of waiting.splice(0)) task.reject(new PartCancelled(task.part));
      for (const task of running) end(task, new PartCancelled(task.part));
      await computing.close();
    },
  };
}

/** What a rejection means that the pool did not cause itself. */
function threadFault(part: AssessmentPart, error: unknown, begun: boolean, megabytes: number): Error {
  const cause = error instanceof ThreadNotStarted ? error.cause : error;
  if (hasCode(cause, 'ERR_WORKER_OUT_OF_MEMORY'))
    return new PartLimitExceeded(part, 'memory', `${megabytes} MB`);
  if (!begun) return new PartNotStarted(part, cause);
  return new PartCrashed(part, error instanceof Error ? error.message : String(error));
}
