import { type ResourceLimits, Worker } from 'node:worker_threads';
import { compiledFile } from '../compiled-file.js';
import type { FromThread } from './task-handler.js';
import { ThreadEnded, ThreadNotStarted } from './thread-faults.js';

export interface TaskThreadsOptions {
  /** Compiled module whose default export is a TaskHandler. */
  readonly module: URL;
  /** At most so many at a time; one is started when a task needs it. */
  readonly threads: number;
  readonly resourceLimits?: ResourceLimits;
  /** Hears why a thread ended of itself, whether or not a task is rejected for it. */
  readonly onFault: (error: Error) => void;
}

export interface TaskOptions<Report> {
  /** Aborting it takes the task back, wherever it is; a thread that has it is ended. */
  readonly signal?: AbortSignal;
  readonly onReport?: (report: Report) => void;
}

interface Job<Task, Answer, Report> {
  readonly task: Task;
  readonly onReport: ((report: Report) => void) | undefined;
  readonly resolve: (answer: Answer) => void;
  readonly reject: (reason: unknown) => void;
}

interface Thread<Task, Answer, Report> {
  readonly worker: Worker;
  ready: boolean;
  job: Job<Task, Answer, Report> | null;
  idle: NodeJS.Timeout | undefined;
}

const IDLE_MILLISECONDS = 30_000;

/**
 * Threads that compute tasks, one each at a time, others in order of arrival. A thread that cannot start or ends of itself fails the
 * task that it was for and no other; the next task gets a new one. Not piscina (5.3): the task of a thread that dies before it is ready
 * waits there without end, and where the machine refuses a thread an event handler throws, which ends the process.
 */
export class TaskThreads<Task, Answer, Report = never> {
  private readonly threads = new Set<Thread<Task, Answer, Report>>();
  private readonly waiting: Job<Task, Answer, Report>[] = [];
  private readonly ending = new Set<Promise<unknown>>();
  private closed = false;

  constructor(private readonly options: TaskThreadsOptions) {}

  /** Threads that take memory: also those that wait for a task or are being ended. */
  get alive(): number {
    return this.threads.size + this.ending.size;
  }

  /**
   * @throws ThreadNotStarted
   * @throws ThreadEnded or what was thrown in the thread
   * @throws the signal's reason
   */
  run(task: Task, { signal, onReport }: TaskOptions<Report> = {}): Promise<Answer> {
    return new Promise((resolve, reject) => {
      if (this.closed) return reject(new Error('the threads are being ended'));
      if (signal?.aborted) return reject(signal.reason);
      const takeBack = () => this.takeBack(job, signal?.reason);
      const forget = () => signal?.removeEventListener('abort', takeBack);
      const job: Job<Task, Answer, Report> = {
        task,
        onReport,
        resolve: (answer) => {
          forget();
          resolve(answer);
        },
        reject: (reason) => {
          forget();
          reject(reason);
        },
      };
      signal?.addEventListener('abort', takeBack, { once: true });
      this.waiting.push(job);
      this.startNext();
    });
  }

  /** Ends all threads; tasks that wait or are computed are rejected. */
  async close(): Promise<void> {
    this.closed = true;
    const why = new Error('the threads are being ended');
    for (const job of this.waiting.splice(0)) job.reject(why);
    for (const thread of [...this.threads]) {
      this.end(thread);
      thread.job?.reject(why);
    }
    await Promise.all(this.ending);
  }

  private startNext(): void {
    while (!this.closed) {
      const free = [...this.threads].find((thread) => thread.job === null);
      if (free === undefined && this.threads.size >= this.options.threads) return;
      const job = this.waiting.shift();
      if (job === undefined) return;
      try {
        this.give(free ?? this.start(), job);
      } catch (error) {
        job.reject(error);
      }
    }
  }

  private start(): Thread<Task, Answer, Report> {
    const { module, resourceLimits, onFault } = this.options;
    try {
      const worker = new Worker(compiledFile('worker/threads/task-thread.js'), {
        workerData: module.href,
        ...(resourceLimits === undefined ? {} : { resourceLimits }),
      });
      const thread: Thread<Task, Answer, Report> = { worker, ready: false, job: null, idle: undefined };
      this.threads.add(thread);
      worker.on('message', (message) => this.hear(thread, message));
      for (const event of ['error', 'messageerror'])
        worker.on(event, (error) => this.endedOfItself(thread, error));
      worker.on('exit', (code) => this.endedOfItself(thread, new ThreadEnded(code)));
      return thread;
    } catch (error) {
      const fault = new ThreadNotStarted(error);
      onFault(fault);
      throw fault;
    }
  }

  private give(thread: Thread<Task, Answer, Report>, job: Job<Task, Answer, Report>): void {
    thread.worker.postMessage(job.task);
    clearTimeout(thread.idle);
    thread.worker.ref();
    thread.job = job;
  }

  private hear(thread: Thread<Task, Answer, Report>, message: FromThread<Answer, Report>): void {
    // What it had said before it was told to end.
    if (!this.threads.has(thread)) return;
    if (message.kind === 'ready') thread.ready = true;
    else if (message.kind === 'report') thread.job?.onReport?.(message.report);
    else {
      thread.job?.resolve(message.answer);
      thread.job = null;
      thread.worker.unref();
      thread.idle = setTimeout(() => this.end(thread), IDLE_MILLISECONDS).unref();
      this.startNext();
    }
  }

  private endedOfItself(thread: Thread<Task, Answer, Report>, error: Error): void {
    // One that was told to end says so as well.
    if (!this.threads.has(thread)) return;
    this.end(thread);
    const fault = thread.ready ? error : new ThreadNotStarted(error);
    this.options.onFault(fault);
    thread.job?.reject(fault);
    this.startNext();
  }

  private takeBack(job: Job<Task, Answer, Report>, reason: unknown): void {
    const index = this.waiting.indexOf(job);
    if (index >= 0) this.waiting.splice(index, 1);
    for (const thread of [...this.threads]) if (thread.job === job) this.end(thread);
    job.reject(reason);
    this.startNext();
  }

  private end(thread: Thread<Task, Answer, Report>): void {
    clearTimeout(thread.idle);
    this.threads.delete(thread);
    const ended = thread.worker.terminate().finally(() => this.ending.delete(ended));
    this.ending.add(ended);
  }
}
