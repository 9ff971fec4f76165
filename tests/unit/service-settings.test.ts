import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { packageRoot } from '../../worker/compiled-file.js';
import { readSettings, settingsSchema } from '../../worker/service/settings.js';

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
