import { createLog, type Logger } from './log.js';
import { checkRedis, RedisUnfitError } from './redis.js';
import { readSettings, type Settings, SettingsError } from './settings.js';

/** What a started process can be asked to do: end, finishing or handing back what it has in hand. */
export interface Ending {
  readonly close: () => Promise<void>;
}

/**
 * Life of one process of the service: settings from the environment, a Redis that is fit, the work, and an orderly end on SIGTERM,
 * SIGINT or when the process that started it is gone. Settings or a Redis that will not do end it with code 2 and their sentence.
 *
 * @param name shown in the log
 * @param start brings the work up
 */
export async function runProcess(
  name: 'api' | 'worker',
  start: (settings: Settings, log: Logger) => Promise<Ending>,
): Promise<void> {
  try {
    const settings = readSettings(process.env);
    const log = createLog(settings.LOG_LEVEL, name);
    for (const warning of await checkRedis(settings.REDIS_URL)) log.warn(warning);
    const started = await start(settings, log);
    let ending = false;
    const end = () => {
      if (ending) return;
      ending = true;
      log.info('ending');
      started.close().then(
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
}
