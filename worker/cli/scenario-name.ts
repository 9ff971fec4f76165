import { basename } from 'node:path';
import { UsageError } from './command-errors.js';

/** What the results of a scenario file are filed under: its name without the ending. */
export function scenarioName(file: string): string {
  return basename(file).replace(/\.json$/i, '') || 'scenario';
}

/** The directory of a result; that of a selection has another, so that it never takes the place of the whole. */
export function resultDirectory(file: string, whole: boolean): string {
  return whole ? scenarioName(file) : `${scenarioName(file)}--selection`;
}

/** @throws UsageError when two files would write into the same directory. */
export function refuseSameNames(files: readonly string[]): void {
  const seen = new Map<string, string>();
  for (const file of files) {
    const name = scenarioName(file);
    const other = seen.get(name);
    if (other !== undefined)
      throw new UsageError(
        `${other} and ${file} would both be written to ${name}/: assess them with different --out directories`,
      );
    seen.set(name, file);
  }
}
