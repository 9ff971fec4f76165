import { KeyStore } from '../worker/keys/key-store.js';
import { connectForRequests } from '../worker/service/redis.js';
import { runProcess } from '../worker/service/run-process.js';
import { runApi } from './run-api.js';

/** One API process: `node dist/api/main.js`. */
await runProcess('api', async (settings, log) => {
  const api = await runApi(settings, log);
  process.send?.({ url: api.url });
  await explainFirstKey(settings.REDIS_URL);
  return api;
});

async function explainFirstKey(url: string): Promise<void> {
  const redis = connectForRequests(url, () => {});
  await redis.connect();
  const { keys, unreadable } = await new KeyStore(redis).all();
  if (keys.length + unreadable.length === 0) {
    process.stderr.write(
      'There is no key yet, so nobody can use the API. Make the first one with:\n' +
        '  npm run deckpace -- keys create --holder "Your Name" --role engineer\n' +
        'or, with containers:\n' +
        '  docker compose run --rm api node dist/worker/cli/main.js keys create --holder "Your Name" --role engineer\n',
    );
  }
  redis.disconnect();
}
