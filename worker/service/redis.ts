import { Redis, type RedisOptions } from 'ioredis';

/** Redis does not serve this program: absent, too old, evicting. The message says what to do. */
export class RedisUnfitError extends Error {
  override readonly name = 'RedisUnfitError';
}

/**
 * Connection for a request that somebody waits for: fails at once instead of queueing. Commands are not batched: every batch
 * would first copy all the scripts that BullMQ defines on its connection. One on which nothing is answered any more is given up
 * for a new one.
 */
export function connectForRequests(url: string, onError: (error: Error) => void): Redis {
  return connect(
    url,
    { maxRetriesPerRequest: 1, enableOfflineQueue: false, commandTimeout: 5000, socketTimeout: 8000 },
    onError,
  );
}

/** Connection for work that outlives an interruption of Redis: commands wait until it is back, on a new connection. */
export function connectForWork(url: string, onError: (error: Error) => void): Redis {
  return connect(url, { maxRetriesPerRequest: null, socketTimeout: WORK_SILENCE_MILLISECONDS }, onError);
}

/** Longer than the 10 s for which BullMQ lets Redis keep an answer back. */
const WORK_SILENCE_MILLISECONDS = 15_000;
const HEARTBEAT_MILLISECONDS = 10_000;

/**
 * A connection that only listens would never notice that nothing reaches it any more; so it asks now and then.
 *
 * @returns ends it
 */
export function keepAsking(redis: Redis): () => void {
  const timer = setInterval(() => {
    // While it is away questions would only pile up; how this one fails is told by the connection's own error.
    if (redis.status === 'ready') redis.ping().catch(() => {});
  }, HEARTBEAT_MILLISECONDS);
  return () => clearInterval(timer);
}

type Behaviour = Pick<
  RedisOptions,
  'maxRetriesPerRequest' | 'enableOfflineQueue' | 'commandTimeout' | 'socketTimeout'
>;

function connect(url: string, options: Behaviour, onError: (error: Error) => void): Redis {
  const redis = new Redis(url, {
    ...options,
    lazyConnect: true,
    connectTimeout: 5000,
    retryStrategy: (times) => Math.min(50 * 2 ** Math.min(times, 5), 1000),
  });
  redis.on('error', onError);
  return redis;
}

/**
 * Opens one connection, asks Redis about itself and closes it again.
 *
 * @returns warnings about a Redis that serves, but not well
 * @throws RedisUnfitError
 */
export async function checkRedis(url: string): Promise<readonly string[]> {
  const redis = new Redis(url, {
    lazyConnect: true,
    connectTimeout: 3000,
    commandTimeout: 5000,
    retryStrategy: () => null,
  });
  let failure = '';
  redis.on('error', (error) => {
    failure = error.message;
  });
  try {
    await redis.connect();
    const about = await redis.info();
    const field = (name: string) => new RegExp(`^${name}:(.*?)\\r?$`, 'm').exec(about)?.[1] ?? '';
    const version = field('redis_version');
    const [major = 0, minor = 0] = version.split('.').map(Number);
    if (major < 6 || (major === 6 && minor < 2)) {
      throw new RedisUnfitError(`Redis at ${withoutPassword(url)} is ${version}; 6.2 or newer is needed.`);
    }
    const policy = field('maxmemory_policy');
    if (policy !== 'noeviction') {
      throw new RedisUnfitError(
        `Redis at ${withoutPassword(url)} evicts keys when memory runs short (maxmemory-policy is ${policy}), which would ` +
          'lose accepted work and safety records. Set maxmemory-policy to noeviction.',
      );
    }
    return field('aof_enabled') === '1'
      ? []
      : ['Redis keeps no append-only file: a restart of Redis loses recent work. Set appendonly to yes.'];
  } catch (error) {
    if (error instanceof RedisUnfitError) throw error;
    const detail = failure || (error instanceof Error ? error.message : String(error));
    throw new RedisUnfitError(
      `No Redis answers at ${withoutPassword(url)} (${detail}). Start one (redis-server --appendonly yes) or set REDIS_URL.`,
    );
  } finally {
    redis.disconnect();
  }
}

/** Redis refuses to write: full, a replica, short of replicas, or unable to save. */
const refusal = /^(OOM|READONLY|NOREPLICAS|MISCONF)\b/;

const absence =
  /^(Connection is closed|Stream isn't writeable|Command timed out|Socket timeout|connect E|read E|write E|LOADING|MASTERDOWN|BUSY)|ECONNREFUSED|ECONNRESET|EPIPE|ETIMEDOUT/;

/** True for errors that say nothing about the request, only that Redis cannot serve it now. */
export function isRedisUnavailable(error: unknown): boolean {
  if (!(error instanceof Error)) return false;
  if (error.name === 'MaxRetriesPerRequestError' || error.name === 'AbortError') return true;
  return reasonsOf(error).some((reason) => refusal.test(reason) || absence.test(reason));
}

/** True where Redis still answers what only reads. */
export function refusesToWrite(error: unknown): boolean {
  return error instanceof Error && reasonsOf(error).some((reason) => refusal.test(reason));
}

/** Whether Redis takes writes now, found by writing. */
export async function takesWrites(redis: Redis): Promise<boolean> {
  try {
    await redis.set('deckpace:written', '1', 'PX', 1000);
    return true;
  } catch (error) {
    if (refusesToWrite(error)) return false;
    throw error;
  }
}

/** What Redis objects to: of a transaction the commands it refused, of a script the command that failed in it. */
function reasonsOf(error: Error): readonly string[] {
  if (!error.message.startsWith('EXECABORT')) {
    // Redis 6.2 wraps it; later ones begin with it.
    return [error.message.replace(/^ERR Error running script .*?: -/s, '')];
  }
  const refused =
    'previousErrors' in error && Array.isArray(error.previousErrors) ? error.previousErrors : [];
  return [
    error.message.replace(/^EXECABORT Transaction discarded because of: /, ''),
    ...refused.map((one) => (one instanceof Error ? one.message : String(one))),
  ];
}

function withoutPassword(url: string): string {
  const { protocol, host } = new URL(url);
  return `${protocol}//${host}`;
}
