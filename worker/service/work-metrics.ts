import type { Redis } from 'ioredis';

const metricsKey = 'deckpace:metrics';

export const partOutcomes = [
  'completed',
  'cancelled',
  'failed',
  'crashed',
  'time_limit',
  'memory_limit',
  'interrupted',
] as const;
export type PartOutcome = (typeof partOutcomes)[number];

/** Upper ends of the histogram of part durations, seconds. */
export const partSecondsBuckets = [0.1, 0.3, 1, 3, 10, 30, 100, 300, 1000] as const;

export interface WorkMetrics {
  readonly outcomes: Readonly<Record<PartOutcome, number>>;
  /** Parts per bucket, not cumulative; one more than there are bucket ends. */
  readonly buckets: readonly number[];
  readonly secondsSum: number;
}

/** Counted in Redis, because workers come and go and serve no HTTP; the API shows them. */
export async function recordPart(redis: Redis, outcome: PartOutcome, seconds: number): Promise<void> {
  const found = partSecondsBuckets.findIndex((end) => seconds <= end);
  const bucket = found < 0 ? partSecondsBuckets.length : found;
  await redis
    .pipeline()
    .hincrby(metricsKey, `outcome:${outcome}`, 1)
    .hincrby(metricsKey, `bucket:${bucket}`, 1)
    .hincrbyfloat(metricsKey, 'seconds', seconds)
    .exec();
}

/** Totals over all workers since Redis was set up. */
export async function readWorkMetrics(redis: Redis): Promise<WorkMetrics> {
  const all = await redis.hgetall(metricsKey);
  const count = (field: string) => Number(all[field] ?? 0);
  return {
    outcomes: {
      completed: count('outcome:completed'),
      cancelled: count('outcome:cancelled'),
      failed: count('outcome:failed'),
      crashed: count('outcome:crashed'),
      time_limit: count('outcome:time_limit'),
      memory_limit: count('outcome:memory_limit'),
      interrupted: count('outcome:interrupted'),
    },
    buckets: [...partSecondsBuckets, 0].map((_, index) => count(`bucket:${index}`)),
    secondsSum: count('seconds'),
  };
}
