import { runWorker } from '../queue/run-worker.js';
import { createLog } from './log.js';
import { checkRedis, RedisUnfitError } from './redis.js';
import { readSettings, SettingsError } from './settings.js';

/** One worker process: `node dist/worker/service/main.js`. */
try {
  const settings = readSettings(process.env);
  const log = createLog(settings.LOG_LEVEL, 'worker');
  for (const warning of await checkRedis(settings.REDIS_URL)) log.warn(warning);
  const worker = await runWorker(settings, log);
  let ending = false;
  const end = () => {
    if (ending) return;
    ending = true;
    log.info('ending');
    worker.close().then(
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
