import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { packageRoot } from './compiled-file.js';

let known: string | null = null;

/** Version of this program as package.json states it; the same from source and from dist/. */
export function engineVersion(): string {
  known ??= readVersion();
  return known;
}

/** Program and version as results, records and reports name them. */
export function engineName(): string {
  return `deckpace ${engineVersion()}`;
}

function readVersion(): string {
  const description: unknown = JSON.parse(readFileSync(join(packageRoot(), 'package.json'), 'utf8'));
  if (typeof description === 'object' && description !== null && 'version' in description)
    return String(description.version);
  throw new Error('package.json of deckpace states no version');
}
