import { mkdirSync, statSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { makeDirectory } from '../../../worker/cli/make-directory.js';
import { scratchDirectory } from './scratch-directory.js';

const scratch = scratchDirectory();

describe('a directory for results', () => {
  it('is made with those above it, and again without complaint', async () => {
    const deep = join(scratch.path, 'a', 'b', 'c');
    await makeDirectory(deep);
    await makeDirectory(deep);
    expect(statSync(deep).isDirectory()).toBe(true);
  });

  it('may be made by several runs at the same time', async () => {
    const deep = join(scratch.path, 'd', 'e', 'f');
    await Promise.all(Array.from({ length: 8 }, () => makeDirectory(deep)));
    expect(statSync(deep).isDirectory()).toBe(true);
  });

  it('may lie behind a link', async () => {
    mkdirSync(join(scratch.path, 'real'));
    symlinkSync('real', join(scratch.path, 'link'));
    await makeDirectory(join(scratch.path, 'link', 'below'));
    expect(statSync(join(scratch.path, 'real', 'below')).isDirectory()).toBe(true);
  });

  it('cannot be made behind a link that leads nowhere, nor below a file', async () => {
    symlinkSync('absent', join(scratch.path, 'loose'));
    writeFileSync(join(scratch.path, 'file'), '');
    await expect(makeDirectory(join(scratch.path, 'loose', 'below'))).rejects.toThrow(/EEXIST.*loose/);
    await expect(makeDirectory(join(scratch.path, 'file', 'below'))).rejects.toThrow(/ENOTDIR/);
  });
});
