import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

/** Folder that holds package.json, found upwards from this file, so that it is the same for source and for dist/. */
export function packageRoot(): string {
  let folder = dirname(fileURLToPath(import.meta.url));
  while (!existsSync(join(folder, 'package.json'))) {
    const parent = dirname(folder);
    if (parent === folder) throw new Error('package.json of deckpace not found above its own code');
    folder = parent;
  }
  return folder;
}

/**
 * Compiled form of one of the project's modules. Threads and child processes are started from it even when the caller
 * itself runs from source (tests).
 *
 * @param path path inside dist/, e.g. 'worker/part-thread.js'
 * @throws Error when the project has not been built
 */
export function compiledFile(path: string): URL {
  const file = join(packageRoot(), 'dist', path);
  if (!existsSync(file)) throw new Error(`${file} does not exist: run "npm run build" first`);
  return pathToFileURL(file);
}
