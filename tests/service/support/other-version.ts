import { cpSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { packageRoot } from '../../../worker/compiled-file.js';

/** The compiled program in a folder of its own, where it goes by another version. */
export class OtherVersion {
  private readonly folder = mkdtempSync(join(tmpdir(), 'deckpace-version-'));

  constructor(version: string) {
    const root = packageRoot();
    const description: object = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
    writeFileSync(join(this.folder, 'package.json'), JSON.stringify({ ...description, version }));
    cpSync(join(root, 'dist'), join(this.folder, 'dist'), { recursive: true });
    symlinkSync(join(root, 'node_modules'), join(this.folder, 'node_modules'));
  }

  /** As compiledFile, of this version. */
  readonly fileOf = (path: string): URL => pathToFileURL(join(this.folder, 'dist', path));

  remove(): void {
    rmSync(this.folder, { recursive: true, force: true });
  }
}
