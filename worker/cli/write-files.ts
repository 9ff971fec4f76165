import { mkdir, open, rename, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { UnwritableOutputError } from './command-errors.js';

/**
 * Writes files into a directory, each whole or not at all: to a temporary name beside it, flushed, then renamed. A reader, or
 * a run that is killed, never sees half a result. The directory is made when it is not there.
 *
 * @param contents text by file name
 * @returns the paths, in the order of `contents`
 * @throws UnwritableOutputError
 */
export async function writeFiles(
  directory: string,
  contents: Readonly<Record<string, string>>,
): Promise<readonly string[]> {
  await makeDirectory(directory);
  const paths: string[] = [];
  for (const [name, text] of Object.entries(contents)) {
    const path = join(directory, name);
    await writeWhole(path, text);
    paths.push(path);
  }
  return paths;
}

/**
 * Makes the directory and proves that a file can be made in it, before hours of computing end in a refusal.
 *
 * @throws UnwritableOutputError
 */
export async function proveWritable(directory: string): Promise<void> {
  await makeDirectory(directory);
  const probe = join(directory, `.probe.${process.pid}.tmp`);
  await explaining(directory, async () => {
    await (await open(probe, 'wx')).close();
    await rm(probe);
  });
}

async function makeDirectory(directory: string): Promise<void> {
  await explaining(directory, () => mkdir(directory, { recursive: true }));
}

async function writeWhole(path: string, text: string): Promise<void> {
  const temporary = `${path}.${process.pid}.tmp`;
  await explaining(path, async () => {
    try {
      const handle = await open(temporary, 'w');
      try {
        await handle.writeFile(text);
        await handle.sync();
      } finally {
        await handle.close();
      }
      await rename(temporary, path);
    } catch (error) {
      await rm(temporary, { force: true });
      throw error;
    }
  });
}

async function explaining<T>(path: string, action: () => Promise<T>): Promise<T> {
  try {
    return await action();
  } catch (error) {
    const detail = error instanceof Error ? error.message : String(error);
    throw new UnwritableOutputError(
      `${path} cannot be written: ${detail}. Choose another place with --out DIR`,
    );
  }
}
