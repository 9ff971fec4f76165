import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Result } from '../scenarios/result.js';
import { packageRoot } from './compiled-file.js';

/** Libraries whose arithmetic stands in a result. */
const numericLibraries = ['fft.js', 'ml-matrix', 'zod'];

/**
 * Commit that this program was compiled from, with "-modified" behind it where the sources differed from it; run from source, that of
 * the working copy. Null where none is known. And the versions of the numeric libraries.
 */
export function provenance(): Result['provenance'] {
  const root = packageRoot();
  return {
    git_commit: stampedCommit(root),
    libraries: Object.fromEntries(numericLibraries.map((name) => [name, libraryVersion(root, name)])),
  };
}

/** As `.ci/stamp-commit.mjs` left it between this file and the root when the program was compiled; a copy of dist/ keeps it. */
function stampedCommit(root: string): string | null {
  let folder = dirname(fileURLToPath(import.meta.url));
  while (folder !== root) {
    const stamp = join(folder, 'built-from.json');
    if (existsSync(stamp)) {
      const { commit }: { commit?: unknown } = JSON.parse(readFileSync(stamp, 'utf8'));
      return typeof commit === 'string' ? commit : null;
    }
    folder = dirname(folder);
  }
  return gitCommit(join(root, '.git'));
}

/** Reads the two small files that name the commit: starting git would cost more than a small assessment. */
function gitCommit(folder: string): string | null {
  const head = join(folder, 'HEAD');
  if (!existsSync(head)) return null;
  const text = readFileSync(head, 'utf8').trim();
  if (!text.startsWith('ref: ')) return text;
  const reference = text.slice(5);
  const loose = join(folder, reference);
  if (existsSync(loose)) return readFileSync(loose, 'utf8').trim();
  const packed = join(folder, 'packed-refs');
  if (!existsSync(packed)) return null;
  const line = readFileSync(packed, 'utf8')
    .split('\n')
    .find((entry) => entry.endsWith(` ${reference}`));
  return line?.split(' ')[0] ?? null;
}

function libraryVersion(root: string, name: string): string {
  const file = join(root, 'node_modules', name, 'package.json');
  if (!existsSync(file)) return 'unknown';
  const description: unknown = JSON.parse(readFileSync(file, 'utf8'));
  return typeof description === 'object' && description !== null && 'version' in description
    ? String(description.version)
    : 'unknown';
}
