import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { UnwritableOutputError } from '../../../worker/cli/command-errors.js';
import { proveWritable, writeFiles } from '../../../worker/cli/write-files.js';
import { scratchDirectory } from './scratch-directory.js';

const scratch = scratchDirectory();

describe('written results', () => {
  it('replace older ones whole and leave nothing else behind', async () => {
    const directory = join(scratch.path, 'deep', 'result');
    await writeFiles(directory, { 'result.json': 'old and long' });
    const paths = await writeFiles(directory, { 'result.json': 'new', 'report.html': '<p>' });
    expect(paths).toEqual([join(directory, 'result.json'), join(directory, 'report.html')]);
    expect(readFileSync(paths[0]!, 'utf8')).toBe('new');
    expect(readdirSync(directory).sort()).toEqual(['report.html', 'result.json']);
  });

  it('leave the older file and no half one when they cannot be put in place', async () => {
    const directory = join(scratch.path, 'in-the-way');
    mkdirSync(join(directory, 'result.json'), { recursive: true });
    await expect(writeFiles(directory, { 'result.json': 'new' })).rejects.toThrow(UnwritableOutputError);
    expect(readdirSync(directory)).toEqual(['result.json']);
  });

  it.each([
    ['cannot be written', `report.html.${process.pid}.tmp`],
    ['cannot be put in place', 'report.html'],
  ])('stay all as they were when one of them %s', async (what, inTheWay) => {
    const directory = join(scratch.path, what);
    mkdirSync(join(directory, inTheWay), { recursive: true });
    writeFileSync(join(directory, 'result.json'), 'old');
    const before = readdirSync(directory).sort();
    await expect(
      writeFiles(directory, { 'result.json': 'new', 'sweeps.csv': 'new', 'report.html': 'new' }),
    ).rejects.toThrow(/report\.html cannot be written/);
    expect(readdirSync(directory).sort()).toEqual(before);
    expect(readFileSync(join(directory, 'result.json'), 'utf8')).toBe('old');
  });

  it('cannot go where a file stands in the way, and it is said before anything is computed', async () => {
    const file = join(scratch.path, 'file');
    writeFileSync(file, '');
    await expect(proveWritable(join(file, 'result'))).rejects.toThrow(
      /file\/result cannot be written.*--out DIR/,
    );
  });

  it('leave no trace of the test whether they can be written', async () => {
    const directory = join(scratch.path, 'probed');
    await proveWritable(directory);
    expect(readdirSync(directory)).toEqual([]);
  });
});
