import { createServer } from 'node:http';
import { Queue } from 'bullmq';
import { AssessmentStore } from '../worker/assessments/assessment-store.js';
import { engineName } from '../worker/engine-version.js';
import { KeyStore } from '../worker/keys/key-store.js';
import { openAssessmentQueue } from '../worker/queue/assessment-queue.js';
import { type PartJob, queueNames, queuePrefix } from '../worker/queue/queues.js';
import { RestrictionLog } from '../worker/restrictions/restriction-log.js';
import type { Logger } from '../worker/service/log.js';
import { connectForRequests, connectForWork } from '../worker/service/redis.js';
import type { Settings } from '../worker/service/settings.js';
import { SubscriptionStore } from '../worker/subscriptions/subscription-store.js';
import { createApp } from './app.js';
import { orderlyEnd } from './end-server.js';
import { EventHub } from './event-hub.js';
import { createMetrics } from './metrics.js';
import { allRoutes } from './routes/all-routes.js';
import { ScenarioReader } from './scenario-reader.js';

/**
 * Starts the API.
 *
 * @returns its base URL, and what ends it: no new connections, requests on those that are open are answered once more, streams are cut
 */
export async function runApi(
  settings: Settings,
  log: Logger,
): Promise<{ readonly url: string; readonly close: () => Promise<void> }> {
  const onError = (error: Error) => log.warn({ error: error.message }, 'redis');
  const redis = connectForRequests(settings.REDIS_URL, onError);
  const subscriber = connectForWork(settings.REDIS_URL, onError);
  await Promise.all([redis.connect(), subscriber.connect()]);
  const events = new EventHub(subscriber);
  await events.start();

  const connection = { connection: redis, prefix: queuePrefix, skipVersionCheck: true };
  const assessmentQueue = openAssessmentQueue(redis);
  const partQueue = new Queue<PartJob>(queueNames.parts, connection);
  const watched = [
    assessmentQueue,
    partQueue,
    ...[queueNames.deliveries, queueNames.schedules].map((name) => new Queue(name, connection)),
  ];
  for (const queue of watched) queue.on('error', onError);

  const scenarios = new ScenarioReader(log);
  const app = createApp(
    {
      settings,
      log,
      redis,
      engine: engineName(),
      keys: new KeyStore(redis),
      assessments: new AssessmentStore(redis),
      assessmentQueue,
      partQueue,
      restrictions: new RestrictionLog(redis),
      subscriptions: new SubscriptionStore(redis),
      scenarios,
      events,
      metrics: createMetrics(redis, watched),
    },
    allRoutes,
  );
  const server = createServer(
    {
      requestTimeout: settings.DECKPACE_REQUEST_SECONDS * 1000,
      headersTimeout: Math.min(settings.DECKPACE_REQUEST_SECONDS, 15) * 1000,
      connectionsCheckingInterval: 1000,
      keepAliveTimeout: 10_000,
    },
    app,
  );
  const endServer = orderlyEnd(server);
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(settings.PORT, settings.HOST, resolve);
  });
  const address = server.address();
  const port = typeof address === 'object' && address !== null ? address.port : settings.PORT;
  const url = `http://${settings.HOST.includes(':') ? `[${settings.HOST}]` : settings.HOST}:${port}`;
  log.info({ url }, 'api ready');

  return {
    url,
    close: async () => {
      events.end();
      await endServer(settings.DECKPACE_GRACE_SECONDS);
      await Promise.all(watched.map((queue) => queue.close()));
      events.close();
      await scenarios.close();
      redis.disconnect();
    },
  };
}
