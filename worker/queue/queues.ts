import type { Priority } from '../assessments/assessment-record.js';

/** Prefix of everything that BullMQ keeps in Redis. */
export const queuePrefix = 'deckpace-queue';

export const queueNames = {
  /** One job per assessment: plans it, waits for its parts, gathers them. */
  assessments: 'assessments',
  /** Damage case x trains; CPU-bound. */
  parts: 'parts',
  /** One job per restriction event and subscription. */
  deliveries: 'deliveries',
  /** What recurs; see worker/queue/schedules.ts. */
  schedules: 'schedules',
} as const;

export interface AssessmentJob {
  readonly id: string;
}

export interface PartJob {
  readonly id: string;
  readonly index: number;
}

export interface DeliveryJob {
  readonly subscription: string;
  readonly delivery: string;
  readonly type: string;
  readonly body: string;
  /** Deliveries to the same subscription that are to come before this one; absent: none. */
  readonly after?: readonly string[];
}

/** Fixed, so that the same delivery is queued once. */
export function deliveryJobId(subscription: string, delivery: string): string {
  return `${subscription}-${delivery}`;
}

/** BullMQ: the lower number first. */
export const jobPriority: Readonly<Record<Priority, number>> = {
  'post-event': 1,
  ordinary: 10,
  nightly: 100,
};

/** Whether a job in a state that BullMQ names will still be run, or is; `unknown` is one that stands in none of its lists. */
export function isAlive(state: string): boolean {
  return state !== 'completed' && state !== 'failed' && state !== 'unknown';
}

/** Finished jobs are history, not results; failed ones are kept longer, with their reason. */
export const keptJobs = {
  removeOnComplete: { age: 86_400, count: 1000 },
  removeOnFail: { age: 14 * 86_400, count: 5000 },
} as const;
