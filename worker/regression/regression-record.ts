import type { Redis } from 'ioredis';
import { z } from 'zod';
import { junitXml } from './junit-xml.js';
import { markdownSummary } from './markdown-summary.js';
import type { RegressionRun } from './run-regression.js';

const recordsKey = 'deckpace:regressions';
const RECORDS_KEPT = 100;

/** A nightly run as the service keeps it. */
export const regressionRecord = z.strictObject({
  at: z.iso.datetime(),
  engine: z.string(),
  passed: z.boolean(),
  seconds: z.number(),
  /** Scenarios by verdict. */
  verdicts: z.record(z.string(), z.int()),
  /** Names of the scenarios that do not agree with their baselines. */
  disagreeing: z.array(z.string()),
  markdown: z.string(),
  junit: z.string(),
});
export type RegressionRecord = Readonly<z.infer<typeof regressionRecord>>;

export function recordOf(run: RegressionRun, engine: string, at: Date): RegressionRecord {
  const verdicts: Record<string, number> = {
    unchanged: 0,
    drift: 0,
    change: 0,
    'no-baseline': 0,
    failed: 0,
  };
  for (const { verdict } of run.outcomes) verdicts[verdict]! += 1;
  return {
    at: at.toISOString(),
    engine,
    passed: run.passed,
    seconds: run.seconds,
    verdicts,
    disagreeing: run.outcomes
      .filter(({ verdict }) => verdict !== 'unchanged' && verdict !== 'drift')
      .map(({ id }) => id),
    markdown: markdownSummary(run, engine),
    junit: junitXml(run),
  };
}

/** Keeps a run, newest first, and forgets those beyond the last hundred. */
export async function keepRegression(redis: Redis, record: RegressionRecord): Promise<void> {
  await redis
    .multi()
    .lpush(recordsKey, JSON.stringify(record))
    .ltrim(recordsKey, 0, RECORDS_KEPT - 1)
    .exec();
}

/** The newest run; null when there was none. */
export async function latestRegression(redis: Redis): Promise<RegressionRecord | null> {
  const text = await redis.lindex(recordsKey, 0);
  return text === null ? null : regressionRecord.parse(JSON.parse(text));
}
