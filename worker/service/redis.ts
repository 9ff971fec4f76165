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
  redis.on('error', (error) => {
    // Left alone it would go on in database 0, where another service may keep its record.
    if (lacksDatabase(error)) redis.disconnect(true);
    onError(error);
  });
  return redis;
}

/** Redis has no database of the number that the URL names. */
function lacksDatabase(error: Error): boolean {
  return /^ERR (DB index is out of range|SELECT is not allowed)/.test(error.message);
}

/**
 * Opens one connection, asks Redis about itself, tries what the service does everywhere, and closes it again.
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
    await tryRights(redis, url);
    return field('aof_enabled') === '1'
      ? []
      : ['Redis keeps no append-only file: a restart of Redis loses recent work. Set appendonly to yes.'];
  } catch (error) {
    if (error instanceof RedisUnfitError) throw error;
    // Of a rejected connection the event says more; of an answer of Redis the answer does.
    const told = error instanceof Error ? error.message : String(error);
    const detail = [told, failure].find((text) => isDenial(text)) ?? (failure || told);
    if (isDenial(detail)) {
      throw new RedisUnfitError(
        `Redis at ${withoutPassword(url)} does not let this user in or do everything it must (${detail}). ` +
          'Put the right user and password into REDIS_URL, and give the user the rights that worker/README.md names.',
      );
    }
    throw new RedisUnfitError(
      `No Redis answers at ${withoutPassword(url)} (${detail}). Start one (redis-server --appendonly yes) or set REDIS_URL.`,
    );
  } finally {
    redis.disconnect();
  }
}

/**
 * Tries the database, a script, a key of each prefix and a channel. That Redis cannot serve now, or takes no writes, is no lack of a right.
 *
 * @throws RedisUnfitError, and Redis's own error for what it denies
 */
async function tryRights(redis: Redis, url: string): Promise<void> {
  const database = redis.options.db ?? 0;
  try {
    await redis.select(database);
    await redis.eval(
      "return redis.call('EXISTS', KEYS[1], KEYS[2])",
      2,
      'deckpace:written',
      'deckpace-queue:',
    );
    await redis.publish('deckpace:started', '');
    await takesWrites(redis);
  } catch (error) {
    if (isDenied(error)) throw error;
    if (!(error instanceof Error && lacksDatabase(error))) return;
    throw new RedisUnfitError(
      `Redis at ${withoutPassword(url)} has no database ${database} (${error.message}). Name one that it has in REDIS_URL.`,
    );
  }
}

/** Redis refuses to write: full, a replica, short of replicas, or unable to save. */
const refusal = /^(OOM|READONLY|NOREPLICAS|MISCONF)\b/;

const absence =
  /^(Connection is closed|Stream isn't writeable|Command timed out|Socket timeout|connect E|read E|write E|LOADING|MASTERDOWN|BUSY)|ECONNREFUSED|ECONNRESET|EPIPE|ETIMEDOUT/;

/** Wrong user or password, or a right that the user lacks; a script that meets one of the latter says so in words. */
const denial = /^(NOAUTH|WRONGPASS|NOPERM)\b|The user executing the script can't /;

/** Redis does not let the user of REDIS_URL do this: somebody has to put it right, and until then nothing is served. */
export function isDenied(error: unknown): boolean {
  return error instanceof Error && reasonsOf(error).some(isDenial);
}

function isDenial(text: string): boolean {
  return denial.test(text);
}

/** True for errors that say nothing about the request, only that Redis cannot serve it now. */
export function isRedisUnavailable(error: unknown): boolean {
  if (!(error instanceof Error)) return false;
  if (error.name === 'MaxRetriesPerRequestError' || error.name === 'AbortError') return true;
  return reasonsOf(error).some((reason) => refusal.test(reason) || absence.test(reason) || isDenial(reason));
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
