/** What the module of a thread exports as its default: computes the answer to a task, and may report meanwhile. An error ends the thread. */
export type TaskHandler<Task, Answer, Report = never> = (
  task: Task,
  report: (report: Report) => void,
) => Answer | Promise<Answer>;

/** What a thread says, in order: once that it is ready, then reports and one answer for each task. */
export type FromThread<Answer, Report> =
  | { readonly kind: 'ready' }
  | { readonly kind: 'report'; readonly report: Report }
  | { readonly kind: 'answer'; readonly answer: Answer };
