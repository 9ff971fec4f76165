import { KeyStore } from '../worker/keys/key-store.js';
import { createLog } from '../worker/service/log.js';
import { checkRedis, connectForRequests, RedisUnfitError } from '../worker/service/redis.js';
import { readSettings, SettingsError } from '../worker/service/settings.js';
import { runApi } from './run-api.js';

/** One API process: `node dist/api/main.js`. */
try {
  const settings = readSettings(process.env);
  const log = createLog(settings.LOG_LEVEL, 'api');
  for (const warning of await checkRedis(settings.REDIS_URL)) log.warn(warning);
  const api = await runApi(settings, log);
  process.send?.({ url: api.url });
  await explainFirstKey(settings.REDIS_URL);
  let ending = false;
  const end = () => {
    if (ending) return;
    ending = true;
    log.info('ending');
    api.close().then(
      () => process.exit(0),
      (error) => {
        log.error({ error }, 'did not end cleanly');
        process.exit(1);
      },
    );
  };
  process.on('SIGTERM', end);
  process.on('SIGINT', end);
  // Started by `npm start`, which is gone.
  process.on('disconnect', end);
} catch (error) {
  if (!(error instanceof SettingsError || error instanceof RedisUnfitError)) throw error;
  process.stderr.write(`${error.message}\n`);
  process.exitCode = 2;
}

async function explainFirstKey(url: string): Promise<void> {
  const redis = connectForRequests(url, () => {});
  await redis.connect();
  if ((await new KeyStore(redis).list()).length === 0) {
    process.stderr.write(
      'There is no key yet, so nobody can use the API. Make the first one with:\n' +
        '  npm run deckpace -- keys create --holder "Your Name" --role engineer\n',
    );
  }
  redis.disconnect();
}
