import { existsSync, readFileSync } from 'node:fs';

/** Version of this program as package.json states it; the same from source and from dist/. */
export function engineVersion(): string {
  for (const up of ['../', '../../']) {
    const file = new URL(`${up}package.json`, import.meta.url);
    if (existsSync(file)) return versionIn(JSON.parse(readFileSync(file, 'utf8')));
  }
  throw new Error('package.json of deckpace not found above its own code');
}

function versionIn(description: unknown): string {
  if (typeof description === 'object' && description !== null && 'version' in description)
    return String(description.version);
  throw new Error('package.json of deckpace states no version');
}
