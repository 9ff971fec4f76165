import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { packageRoot } from '../../worker/compiled-file.js';
import {
  readSettings,
  SettingsError,
  settingsSchema,
  settingsWarnings,
} from '../../worker/service/settings.js';

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
  expect(readSettings({ DECKPACE_GRACE_SECONDS: ' ' }).DECKPACE_GRACE_SECONDS).toBe(25);
  expect(() => readSettings({ PORT: '-1', DECKPACE_WEBHOOK_PRIVATE: 'yes' })).toThrow(
    /PORT.*DECKPACE_WEBHOOK_PRIVATE/,
  );
});

test.each([
  ['DECKPACE_METRIC_TOKEN', 'DECKPACE_METRICS_TOKEN'],
  ['DECKPACE_PART_SECS', 'DECKPACE_PART_SECONDS'],
  ['DECKPACE_RETENTION_DAY', 'DECKPACE_RETENTION_DAYS'],
  ['DECKPACE_CRON', 'DECKPACE_NIGHTLY_CRON'],
  ['deckpace_threads', 'DECKPACE_THREADS'],
])('the misspelt name %s is refused, and what was meant is named, not what it says', (name, meant) => {
  expect(() => readSettings({ [name]: 'hunter2hunter2hunter2' })).toThrow(
    `Configuration not accepted. ${name}: there is no such variable; did you mean ${meant}?`,
  );
  expect(() => readSettings({ [name]: 'hunter2hunter2hunter2' })).not.toThrow(/hunter2/);
  expect(readSettings({ [name]: '' })).toEqual(readSettings({}));
});

test('names that a cluster gives, or that are far from any, are warned of and refuse nothing', () => {
  const given = {
    DECKPACE_PORT: 'tcp://10.0.0.7:80',
    DECKPACE_API_SERVICE_HOST: '10.0.0.7',
    DECKPACE_COMMIT: '0123abc',
    DECKPACE_THREADS: '2',
  };
  expect(readSettings(given).DECKPACE_THREADS).toBe(2);
  expect(settingsWarnings(given)).toEqual([
    expect.stringMatching(/^DECKPACE_PORT is set, but there is no such variable/),
    expect.stringMatching(/^DECKPACE_API_SERVICE_HOST is set, but there is no such variable/),
  ]);
});

test.each([
  ['PORT', 'eighty', 'found the text "eighty"; accepted: a whole number from 0 to 65535'],
  ['DECKPACE_THREADS', '0', 'found the text "0"; accepted: a whole number from 1 to 256'],
  ['DECKPACE_PART_SECONDS', '0', 'found the text "0"; accepted: a number from 0.1 to 86400'],
  ['LOG_LEVEL', 'loud', 'accepted: one of fatal, error, warn, info, debug, silent'],
  ['DECKPACE_WEBHOOK_PRIVATE', 'yes', 'found the text "yes"; accepted: one of true, false'],
  ['DECKPACE_ENGINE', 'engine.js', 'accepted: the address of a file, as in file:///srv/engine.js'],
  ['REDIS_URL', 'redis://127.0.0.1/abc', 'accepted: the address of a Redis, behind whose host'],
])('of %s = %s it is said what was found and what is accepted', (name, value, words) => {
  expect(() => readSettings({ [name]: value })).toThrow(`Configuration not accepted. ${name}: `);
  expect(() => readSettings({ [name]: value })).toThrow(words);
});

test('every setting that can be wrong says what it accepts', () => {
  const anyText = ['HOST', 'DECKPACE_NIGHTLY_FILTER'];
  for (const name of Object.keys(settingsSchema.shape).filter((one) => !anyText.includes(one)))
    expect(() => readSettings({ [name]: '~' })).toThrow(
      new RegExp(`${name}: found .+; accepted: (?!a text that is not empty).{4}`),
    );
});

test('a secret is not repeated into a log', () => {
  const given = { REDIS_URL: 'redis://:hunter2@host/zero', DECKPACE_METRICS_TOKEN: 'hunter2' };
  expect(() => readSettings(given)).toThrow(
    /found a text of 7 characters \(not shown\); accepted: a text of 16/,
  );
  expect(() => readSettings(given)).not.toThrow(/hunter2/);
});

test.each([
  'redis://127.0.0.1:6379',
  'redis://127.0.0.1/',
  'redis://:secret@127.0.0.1/3',
  'rediss://redis.example:6380/0',
])('%s is the address of a Redis', (url) => {
  expect(readSettings({ REDIS_URL: url }).REDIS_URL).toBe(url);
});

test.each([
  'redis://127.0.0.1/abc',
  'redis://127.0.0.1/1/2',
  'redis://127.0.0.1/-1',
  'http://127.0.0.1',
  '127.0.0.1:6379',
  'localhost:6379',
])('%s is none', (url) => {
  expect(() => readSettings({ REDIS_URL: url })).toThrow(/REDIS_URL: /);
});

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
      /DECKPACE_NIGHTLY_CRON: found .*; accepted: five or six fields of a cron pattern/,
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

test('containers hand every setting on, and an absent one as the default', () => {
  const compose = readFileSync(join(packageRoot(), 'docker-compose.yml'), 'utf8');
  const passed = [...compose.matchAll(/^ {6}(DECKPACE_\w+): \$\{(\w+):-\}$/gm)];
  for (const [, inside, outside] of passed) expect(inside).toBe(outside);
  expect(passed.map(([, name]) => name)).toEqual(
    Object.keys(settingsSchema.shape).filter((name) => name.startsWith('DECKPACE_')),
  );
});
