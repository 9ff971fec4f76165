import { type ChildProcess, fork } from 'node:child_process';
import { compiledFile } from '../worker/compiled-file.js';
import { checkRedis, RedisUnfitError } from '../worker/service/redis.js';
import { readSettings, SettingsError } from '../worker/service/settings.js';

/** `npm start`: one API and one worker, which end together. */
try {
  await checkRedis(readSettings(process.env).REDIS_URL);
  runBoth();
} catch (error) {
  if (!(error instanceof SettingsError || error instanceof RedisUnfitError)) throw error;
  process.stderr.write(`${error.message}\n`);
  process.exitCode = 2;
}

function runBoth(): void {
  const children: readonly ChildProcess[] = ['worker/service/main.js', 'api/main.js'].map((path) =>
    fork(compiledFile(path)),
  );
  let ending = false;
  const end = () => {
    if (ending) return;
    ending = true;
    for (const child of children) child.kill('SIGTERM');
  };
  for (const child of children) {
    child.on('exit', (code) => {
      if (!ending) process.exitCode = code ?? 1;
      end();
    });
  }
  process.on('SIGTERM', end);
  process.on('SIGINT', end);
}
