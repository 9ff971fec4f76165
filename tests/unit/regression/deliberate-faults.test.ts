import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { packageRoot } from '../../../worker/compiled-file.js';
import { deliberateFaults } from '../../mutation/faults.js';

describe('the deliberate faults', () => {
  it.each(deliberateFaults)('have a place in the code: $name', ({ file, find, replace }) => {
    expect(readFileSync(join(packageRoot(), file), 'utf8').split(find)).toHaveLength(2);
    expect(replace).not.toBe(find);
  });
});
