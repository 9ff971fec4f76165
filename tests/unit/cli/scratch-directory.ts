import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll } from 'vitest';

/** A directory for the tests of one file, removed when they have run. */
export interface ScratchDirectory {
  readonly path: string;
  /** Writes a file and returns its path; anything that is neither text nor bytes is written as JSON. */
  file(name: string, content: unknown): string;
}

export function scratchDirectory(): ScratchDirectory {
  const path = mkdtempSync(join(tmpdir(), 'deckpace-test-'));
  afterAll(() => rmSync(path, { recursive: true, force: true }));
  return {
    path,
    file(name, content) {
      const file = join(path, name);
      const raw = typeof content === 'string' || content instanceof Uint8Array;
      writeFileSync(file, raw ? content : JSON.stringify(content));
      return file;
    },
  };
}
