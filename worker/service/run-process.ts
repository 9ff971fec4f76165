import { createLog, type Logger } from './log.js';
import { checkRedis, RedisUnfitError } from './redis.js';
import { readSettings, type Settings, SettingsError, settingsWarnings } from './settings.js';

/** What a started process can be asked to do: end, finishing or handing back what it has in hand. */
export interface Ending {
  readonly close: () => Promise<void>;
}

/** What an ending may take beyond the grace period: to hand back what is in hand and to close connections. */
const CLOSING_SECONDS = 5;

/**
 * Life of one process of the service: settings from the environment, a Redis that is fit, the work, and an orderly end on SIGTERM,
 * SIGINT or when the process that started it is gone. An ending that does not come to its end, because Redis is away, is cut off a few
 * seconds after the grace period. Settings or a Redis that will not do end it with code 2 and their sentence.
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
    for (const warning of [...settingsWarnings(process.env), ...(await checkRedis(settings.REDIS_URL))])
      log.warn(warning);
    const started = start(settings, log);
    let ending = false;
    const end = () => {
      if (ending) return;
      ending = true;
      log.info('ending');
      setTimeout(
        () => {
          log.error('not ended in time: cut off');
          process.exit(1);
        },
        (settings.DECKPACE_GRACE_SECONDS + CLOSING_SECONDS) * 1000,
      ).unref();
      started
        .then((one) => one.close())
        .then(
          () => process.exit(0),
          (error) => {
            log.error({ error }, 'did not end cleanly');
            process.exit(1);
          },
        );
    };
    // Before the start is over: whoever reads that it is may tell this process to end at once.
    process.on('SIGTERM', end);
    process.on('SIGINT', end);
    // Started by `npm start`, which is gone.
    process.on('disconnect', end);
    await started;
  } catch (error) {
    if (!(error instanceof SettingsError || error instanceof RedisUnfitError)) throw error;
    process.stderr.write(`${error.message}\n`);
    process.exitCode = 2;
  }
}
