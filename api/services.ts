import type { Queue } from 'bullmq';
import type { Redis } from 'ioredis';
import type { AssessmentStore } from '../worker/assessments/assessment-store.js';
import type { KeyStore } from '../worker/keys/key-store.js';
import type { AssessmentJob, PartJob } from '../worker/queue/queues.js';
import type { RestrictionLog } from '../worker/restrictions/restriction-log.js';
import type { Logger } from '../worker/service/log.js';
import type { Settings } from '../worker/service/settings.js';
import type { SubscriptionStore } from '../worker/subscriptions/subscription-store.js';
import type { EventHub } from './event-hub.js';
import type { ApiMetrics } from './metrics.js';
import type { ScenarioReader } from './scenario-reader.js';

/** What the routes work with. */
export interface Services {
  readonly settings: Settings;
  readonly log: Logger;
  readonly redis: Redis;
  readonly engine: string;
  readonly keys: KeyStore;
  readonly assessments: AssessmentStore;
  readonly assessmentQueue: Queue<AssessmentJob>;
  readonly partQueue: Queue<PartJob>;
  readonly restrictions: RestrictionLog;
  readonly subscriptions: SubscriptionStore;
  readonly scenarios: ScenarioReader;
  readonly events: EventHub;
  readonly metrics: ApiMetrics;
}
