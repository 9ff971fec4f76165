import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { problemKinds } from '../../api/problem.js';
import { packageRoot } from '../../worker/compiled-file.js';

const folder = join(packageRoot(), 'api');
const sources = readdirSync(folder, { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.ts') && name !== 'problem.ts')
  .map((name) => readFileSync(join(folder, name), 'utf8'))
  .join('\n');

test.each(Object.keys(problemKinds))('some answer is a problem of the kind %s', (kind) => {
  expect(sources).toContain(`'${kind}'`);
});
