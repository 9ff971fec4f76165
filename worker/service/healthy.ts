import { hostname } from 'node:os';
import { setTimeout as pause } from 'node:timers/promises';
import { connectForRequests, isRedisUnavailable } from './redis.js';
import { readSettings } from './settings.js';
import { presentWorkers } from './worker-presence.js';

/** Shorter than what docker-compose.yml gives the check. */
const ANSWER_MILLISECONDS = 3000;

/**
 * Health check of a container: ends with 1 where Redis answers and no worker on this host has been heard of within the last 15 s. While
 * Redis is away or takes no writes it ends with 0: that says nothing about the worker, which holds what it has computed until Redis is
 * back, and whoever ended it for its health would lose that.
 */
const redis = connectForRequests(readSettings(process.env).REDIS_URL, () => {});
try {
  const heard = redis.connect().then(() => presentWorkers(redis));
  const workers = await Promise.race([heard, pause(ANSWER_MILLISECONDS, null, { ref: false })]);
  const healthy = workers === null || workers.some(({ id }) => id.startsWith(`${hostname()} `));
  process.exitCode = healthy ? 0 : 1;
} catch (error) {
  process.exitCode = isRedisUnavailable(error) ? 0 : 1;
} finally {
  redis.disconnect();
}
