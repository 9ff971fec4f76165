import { lstat, open, rename, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { UnwritableOutputError } from './command-errors.js';
import { makeDirectory } from './make-directory.js';

/**
 * Writes files that belong together into a directory, all of them or none: each to a temporary name beside its place and flushed;
 * only when every one is whole are they renamed. A reader, or a run that is killed, never sees half a file, and a disk that is
 * full leaves no new result beside an old report. Only what ends the process between two renames can. The directory is made
 * when it is not there.
 *
 * @param contents text by file name
 * @returns the paths, in the order of `contents`
 * @throws UnwritableOutputError
 */
export async function writeFiles(
  directory: string,
  contents: Readonly<Record<string, string>>,
): Promise<readonly string[]> {
  await explaining(directory, () => makeDirectory(directory));
  const files = Object.entries(contents).map(([name, text]) => {
    const path = join(directory, name);
    return { path, temporary: `${path}.${process.pid}.tmp`, text };
  });
  try {
    for (const { path, temporary, text } of files)
      await explaining(path, () => writeFlushed(temporary, text));
    for (const { path } of files) await explaining(path, () => refuseDirectory(path));
    for (const { path, temporary } of files) await explaining(path, () => rename(temporary, path));
  } catch (error) {
    // A temporary file that cannot be removed must not hide why the files could not be written.
    await Promise.allSettled(files.map(({ temporary }) => rm(temporary, { force: true })));
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
  await explaining(directory, () => makeDirectory(directory));
  const probe = join(directory, `.probe.${process.pid}.tmp`);
  await explaining(directory, async () => {
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

async function explaining<T>(path: string, action: () => Promise<T>): Promise<T> {
  try {
    return await action();
  } catch (error) {
    const detail = error instanceof Error ? error.message : String(error);
    throw new UnwritableOutputError(
      `${path} cannot be written: ${detail}. Choose another place with --out DIR`,
      { cause: error },
    );
  }
}
