import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Result } from '../scenarios/result.js';
import { packageRoot } from './compiled-file.js';

/** Libraries whose arithmetic stands in a result. */
const numericLibraries = ['fft.js', 'ml-matrix', 'zod'];

/** Commit of the working copy this program runs from, when there is one, and the versions of the numeric libraries. */
export function provenance(): Result['provenance'] {
  const root = packageRoot();
  return {
    git_commit: gitCommit(join(root, '.git')),
    libraries: Object.fromEntries(numericLibraries.map((name) => [name, libraryVersion(root, name)])),
  };
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
