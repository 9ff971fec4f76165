import { lstat, open, rename, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { UnwritableOutputError } from './command-errors.js';
import { makeDirectory } from './make-directory.js';

/** Stands beside files that belong together while some of them may be of another run than the others. */
export const cutShortFile = 'WRITING-CUT-SHORT.txt';
const cutShortText =
  'Writing was cut short here, or is under way: the files of this directory may be of two runs. Assess again before you use any of them.\n';

/** Whether the files of a directory may be of two runs. */
export async function isCutShort(directory: string): Promise<boolean> {
  return (await lstat(join(directory, cutShortFile)).catch(() => null)) !== null;
}

const chooseOut = 'Choose another place with --out DIR';

/**
 * Writes files that belong together into a directory, all of them or none: each to a temporary name beside its place and flushed;
 * only when every one is whole are they renamed. A reader, or a run that is killed, never sees half a file, and a disk that is
 * full leaves no new result beside an old report. Where something ends it between two renames, `cutShortFile` stays beside them until
 * they are written anew. The directory is made when it is not there.
 *
 * @param contents text by file name
 * @param remedy what to do where they cannot be written, a sentence
 * @returns the paths, in the order of `contents`
 * @throws UnwritableOutputError
 */
export async function writeFiles(
  directory: string,
  contents: Readonly<Record<string, string>>,
  remedy = chooseOut,
): Promise<readonly string[]> {
  const explaining = <T>(path: string, action: () => Promise<T>) => explained(path, remedy, action);
  await explaining(directory, () => makeDirectory(directory));
  const files = Object.entries(contents).map(([name, text]) => {
    const path = join(directory, name);
    return { path, temporary: `${path}.${process.pid}.tmp`, text };
  });
  const mark = join(directory, cutShortFile);
  let marked = false;
  let placed = 0;
  try {
    for (const { path, temporary, text } of files)
      await explaining(path, () => writeFlushed(temporary, text));
    for (const { path } of files) await explaining(path, () => refuseDirectory(path));
    if (files.length > 1) {
      marked = !(await isCutShort(directory));
      await explaining(mark, () => writeFlushed(mark, cutShortText));
    }
    for (const { path, temporary } of files) {
      await explaining(path, () => rename(temporary, path));
      placed += 1;
    }
    if (files.length > 1) await explaining(mark, () => rm(mark));
  } catch (error) {
    const leftovers = files.map(({ temporary }) => temporary);
    // None is in place: they are those of the run before, all of them.
    if (marked && placed === 0) leftovers.push(mark);
    // A temporary file that cannot be removed must not hide why the files could not be written.
    await Promise.allSettled(leftovers.map((path) => rm(path, { force: true })));
    throw error;
  }
  return files.map(({ path }) => path);
}

/**
 * Makes the directory and proves that a file can be made in it, before hours of computing end in a refusal.
 *
 * @throws UnwritableOutputError
 */
export async function proveWritable(directory: string): Promise<void> {
  await explained(directory, chooseOut, () => makeDirectory(directory));
  const probe = join(directory, `.probe.${process.pid}.tmp`);
  await explained(directory, chooseOut, async () => {
    await (await open(probe, 'wx')).close();
    await rm(probe);
  });
}

async function writeFlushed(path: string, text: string): Promise<void> {
  const handle = await open(path, 'w');
  try {
    await handle.writeFile(text);
    await handle.sync();
  } finally {
    await handle.close();
  }
}

/** A directory in the place of a file would be met at its rename, when those before it have been put in place. */
async function refuseDirectory(path: string): Promise<void> {
  const about = await lstat(path).catch(() => null);
  if (about?.isDirectory()) throw new Error('there is a directory of this name');
}

async function explained<T>(path: string, remedy: string, action: () => Promise<T>): Promise<T> {
  try {
    return await action();
  } catch (error) {
    const detail = error instanceof Error ? error.message : String(error);
    throw new UnwritableOutputError(`${path} cannot be written: ${detail}. ${remedy}`, { cause: error });
  }
}
