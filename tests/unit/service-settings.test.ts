import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { packageRoot } from '../../worker/compiled-file.js';
import { readSettings, SettingsError, settingsSchema } from '../../worker/service/settings.js';

test('the table of settings is the settings', () => {
  const text = readFileSync(join(packageRoot(), 'worker/README.md'), 'utf8');
  const rows = [...text.matchAll(/^\| `([A-Z_]+)` +\| (.+?) +\| (.+?) +\|$/gm)];
  expect(rows.map(([, name]) => name)).toEqual(Object.keys(settingsSchema.shape));
  const defaults: Record<string, unknown> = readSettings({});
  for (const [, name = '', stated = ''] of rows) {
    const value = defaults[name];
    if (name !== 'DECKPACE_THREADS' && value !== undefined)
      expect([name, stated]).toEqual([name, String(value)]);
  }
});

test('an empty variable is an absent one, and every wrong one is named', () => {
  expect(readSettings({ PORT: '' }).PORT).toBe(8080);
  expect(() => readSettings({ PORT: '-1', DECKPACE_WEBHOOK_PRIVATE: 'yes' })).toThrow(
    /PORT.*DECKPACE_WEBHOOK_PRIVATE/,
  );
});

test.each([
  'redis://127.0.0.1:6379',
  'redis://127.0.0.1/',
  'redis://:secret@127.0.0.1/3',
  'rediss://redis.example:6380/0',
])('%s is the address of a Redis', (url) => {
  expect(readSettings({ REDIS_URL: url }).REDIS_URL).toBe(url);
});

test.each(['redis://127.0.0.1/abc', 'redis://127.0.0.1/1/2', 'redis://127.0.0.1/-1', 'http://127.0.0.1'])(
  '%s is none',
  (url) => {
    expect(() => readSettings({ REDIS_URL: url })).toThrow(/REDIS_URL: /);
  },
);

test.each([
  'PORT',
  'DECKPACE_THREADS',
  'DECKPACE_TRAINS_PER_PART',
  'DECKPACE_CRASHES_PER_PART',
  'DECKPACE_RETENTION_COUNT',
  'DECKPACE_REQUESTS_PER_MINUTE',
  'DECKPACE_WEBHOOK_ATTEMPTS',
])('%s is a whole number', (name) => {
  expect(() => readSettings({ [name]: '80.5' })).toThrow(SettingsError);
  expect(() => readSettings({ [name]: '80.5' })).toThrow(name);
});

test.each(['61 1 * * *', '30 1 * * tomorrow', '0 0 31 2 *', '30 1 * *', 'nightly'])(
  'a nightly run at "%s" is refused in a sentence, for the queue cannot plan it',
  (pattern) => {
    expect(() => readSettings({ DECKPACE_NIGHTLY_CRON: pattern })).toThrow(
      /DECKPACE_NIGHTLY_CRON: five or six fields of a cron pattern/,
    );
  },
);

test.each(['off', '30 1 * * *', '* * * * * *', '0 3 * * 1-5'])(
  'a nightly run at "%s" is accepted',
  (pattern) => {
    expect(readSettings({ DECKPACE_NIGHTLY_CRON: pattern }).DECKPACE_NIGHTLY_CRON).toBe(pattern);
  },
);

test('a Redis that only answers with errors, as while it loads, counts as not yet healthy where containers start', () => {
  const compose = readFileSync(join(packageRoot(), 'docker-compose.yml'), 'utf8');
  // Without -e the program ends with 0 whatever was answered.
  expect(compose).toContain('["CMD", "redis-cli", "-e", "ping"]');
});

test('how a key is made in containers, whose Redis no command on the host reaches, is told wherever keys are', () => {
  const [compose = '', ...others] = ['docker-compose.yml', 'worker/README.md', 'api/main.ts'].map((name) =>
    readFileSync(join(packageRoot(), name), 'utf8'),
  );
  const [command = ''] = /docker compose run .* keys create .*/.exec(compose) ?? [];
  expect(command).toContain('--role engineer');
  for (const text of others) expect(text).toContain(command);
});
