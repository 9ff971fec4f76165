import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it, vi } from 'vitest';
import { UnwritableOutputError } from '../../../worker/cli/command-errors.js';
import { cutShortFile, proveWritable, writeFiles } from '../../../worker/cli/write-files.js';
import { readResultFile } from '../../../worker/regression/read-result-file.js';
import { scratchDirectory } from './scratch-directory.js';

const scratch = scratchDirectory();

/** What happens in the moment before a file is put in its place. */
const before = vi.hoisted(() => ({ renaming: (_place: string): void => {} }));
vi.mock('node:fs/promises', async (original) => {
  const real = await original<typeof import('node:fs/promises')>();
  const rename = async (from: string, to: string) => {
    before.renaming(to);
    await real.rename(from, to);
  };
  return { ...real, rename };
});
beforeEach(() => {
  before.renaming = () => {};
});

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

  it('say so, and are not compared, as long as writing was cut short between two of them', async () => {
    const directory = join(scratch.path, 'cut-short');
    const [result, mark] = [join(directory, 'result.json'), join(directory, cutShortFile)];
    const write = (text: string) => writeFiles(directory, { 'result.json': text, 'report.html': text });
    await write('old');
    let marked = false;
    before.renaming = (place) => {
      marked = existsSync(mark);
      if (place.endsWith('report.html')) throw new Error('cut short');
    };
    await expect(write('new')).rejects.toThrow('cut short');
    expect(marked).toBe(true);
    expect(readdirSync(directory).sort()).toEqual([cutShortFile, 'report.html', 'result.json']);
    await expect(readResultFile(result)).rejects.toThrow(/may be of another run.*Assess again/);

    before.renaming = () => {
      throw new Error('cut short');
    };
    // A run that put nothing in place changes nothing of that.
    await expect(write('new')).rejects.toThrow('cut short');
    expect(existsSync(mark)).toBe(true);

    before.renaming = () => {};
    await write('new');
    expect(readdirSync(directory).sort()).toEqual(['report.html', 'result.json']);
    await expect(readResultFile(result)).rejects.toThrow(/is not JSON/);
  });

  it('are not said to be cut short where none was put in its place', async () => {
    const directory = join(scratch.path, 'none-placed');
    before.renaming = () => {
      throw new Error('refused');
    };
    const writing = writeFiles(directory, { 'result.json': 'new', 'report.html': 'new' });
    await expect(writing).rejects.toThrow('refused');
    expect(readdirSync(directory)).toEqual([]);
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
