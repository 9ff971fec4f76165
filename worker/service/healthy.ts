import { hostname } from 'node:os';
import { connectForRequests } from './redis.js';
import { readSettings } from './settings.js';
import { presentWorkers } from './worker-presence.js';

/**
 * Health check of a container: ends with 0 when a worker on this host has been heard of within the last 15 s, and while Redis takes no
 * writes, which says nothing about the worker: it holds what it has computed until Redis does.
 */
const redis = connectForRequests(readSettings(process.env).REDIS_URL, () => {});
try {
  await redis.connect();
  const workers = await presentWorkers(redis);
  const healthy = workers === null || workers.some(({ id }) => id.startsWith(`${hostname()} `));
  process.exitCode = healthy ? 0 : 1;
} catch {
  process.exitCode = 1;
} finally {
  redis.disconnect();
}
