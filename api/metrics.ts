import type { Queue } from 'bullmq';
import type { Redis } from 'ioredis';
import { Counter, collectDefaultMetrics, Gauge, Histogram, Registry } from 'prom-client';
import { latestRegression } from '../worker/regression/regression-record.js';
import { partSecondsBuckets, readWorkMetrics } from '../worker/service/work-metrics.js';
import { presentWorkers } from '../worker/service/worker-presence.js';
import { Outbox } from '../worker/subscriptions/outbox.js';
import { SubscriptionStore } from '../worker/subscriptions/subscription-store.js';
import { askedTogether } from './asked-together.js';

/** Prometheus metrics of this API process, and of queue and workers as Redis knows them. */
export interface ApiMetrics {
  readonly registry: Registry;
  readonly httpSeconds: Histogram<'method' | 'route' | 'status'>;
  readonly submissions: Counter<'outcome'>;
}

export function createMetrics(
  redis: Redis,
  queues: readonly Pick<Queue, 'name' | 'getJobCounts'>[],
): ApiMetrics {
  const registry = new Registry();
  collectDefaultMetrics({ register: registry });
  const registers = [registry];
  const outbox = new Outbox(redis);
  const workersNow = askedTogether(() => presentWorkers(redis));
  const workNow = askedTogether(() => readWorkMetrics(redis));
  const outboxNow = askedTogether(() => outbox.length());
  const regressionNow = askedTogether(() => latestRegression(redis));
  new Gauge({
    name: 'deckpace_queue_jobs',
    help: 'Jobs by queue and state',
    labelNames: ['queue', 'state'],
    registers,
    async collect() {
      for (const queue of queues) {
        const counts = await queue.getJobCounts();
        for (const [state, count] of Object.entries(counts)) this.set({ queue: queue.name, state }, count);
      }
    },
  });
  // While Redis takes no writes there is no value of either: workers cannot say that they are there.
  new Gauge({
    name: 'deckpace_workers',
    help: 'Workers heard of within the last 15 s',
    registers,
    async collect() {
      const workers = await workersNow();
      if (workers === null) this.remove();
      else this.set(workers.length);
    },
  });
  new Gauge({
    name: 'deckpace_worker_threads',
    help: 'Computing threads of all workers, by what they do; busy / (busy + idle) is the utilisation',
    labelNames: ['state'],
    registers,
    async collect() {
      const workers = await workersNow();
      if (workers === null) return this.reset();
      const busy = workers.reduce((sum, worker) => sum + worker.busy, 0);
      this.set({ state: 'busy' }, busy);
      this.set({ state: 'idle' }, workers.reduce((sum, worker) => sum + worker.threads, 0) - busy);
    },
  });
  new Gauge({
    name: 'deckpace_parts_total',
    help: 'Parts computed by all workers, by outcome',
    labelNames: ['outcome'],
    registers,
    async collect() {
      const { outcomes } = await workNow();
      for (const [outcome, count] of Object.entries(outcomes)) this.set({ outcome }, count);
    },
  });
  new Gauge({
    name: 'deckpace_part_seconds',
    help: 'Duration of parts over all workers: parts at or below le, their count and their sum in seconds',
    labelNames: ['statistic', 'le'],
    registers,
    async collect() {
      const { buckets, secondsSum } = await workNow();
      let count = 0;
      buckets.forEach((inBucket, index) => {
        count += inBucket;
        this.set({ statistic: 'bucket', le: String(partSecondsBuckets[index] ?? '+Inf') }, count);
      });
      this.set({ statistic: 'count', le: '' }, count);
      this.set({ statistic: 'sum', le: '' }, secondsSum);
    },
  });
  new Gauge({
    name: 'deckpace_restriction_outbox_events',
    help: 'Restriction events not handed to the deliveries: waiting, or set aside because they cannot be told; alarm on any set aside',
    labelNames: ['state'],
    registers,
    async collect() {
      const { waiting, setAside } = await outboxNow();
      this.set({ state: 'waiting' }, waiting);
      this.set({ state: 'set_aside' }, setAside);
    },
  });
  new Gauge({
    name: 'deckpace_restriction_outbox_oldest_seconds',
    help: 'Age of the restriction event that has waited longest to be handed to the deliveries; alarm above a minute',
    registers,
    async collect() {
      this.set((await outboxNow()).oldestSeconds);
    },
  });
  new Gauge({
    name: 'deckpace_subscriptions_unreadable',
    help: 'Subscriptions that are not told because their entry cannot be read; alarm on any',
    registers,
    async collect() {
      this.set((await new SubscriptionStore(redis).all()).unreadable.length);
    },
  });
  // Before the first nightly run there is no value: a gauge would otherwise begin at 0, which reads as a failure.
  new Gauge({
    name: 'deckpace_regression_passed',
    help: 'Whether the last nightly regression agreed with its baselines (1) or not (0)',
    registers,
    async collect() {
      const latest = await regressionNow();
      if (latest === null) this.remove();
      else this.set(latest.passed ? 1 : 0);
    },
  });
  new Gauge({
    name: 'deckpace_regression_timestamp_seconds',
    help: 'When the last nightly regression ended; alarm when it is older than 25 hours',
    registers,
    async collect() {
      const latest = await regressionNow();
      if (latest === null) this.remove();
      else this.set(Date.parse(latest.at) / 1000);
    },
  });
  new Gauge({
    name: 'deckpace_regression_scenarios',
    help: 'Scenarios of the last nightly regression, by verdict',
    labelNames: ['verdict'],
    registers,
    async collect() {
      const latest = await regressionNow();
      for (const [verdict, count] of Object.entries(latest?.verdicts ?? {})) this.set({ verdict }, count);
    },
  });
  return {
    registry,
    httpSeconds: new Histogram({
      name: 'deckpace_http_seconds',
      help: 'Duration of HTTP requests',
      labelNames: ['method', 'route', 'status'],
      buckets: [0.002, 0.005, 0.01, 0.03, 0.1, 0.3, 1, 3, 10],
      registers,
    }),
    submissions: new Counter({
      name: 'deckpace_submissions_total',
      help: 'Submissions answered by this process, by outcome',
      labelNames: ['outcome'],
      registers,
    }),
  };
}
