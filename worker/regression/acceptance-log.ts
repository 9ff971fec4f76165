import { readFile } from 'node:fs/promises';
import { basename, dirname } from 'node:path';
import { z } from 'zod';
import { writeFiles } from '../cli/write-files.js';
import { hasCode } from '../has-code.js';
import { AcceptanceLogError } from './regression-errors.js';

/** One accepted baseline: who reads the log later learns when it changed, under which engine, and why. */
export const acceptance = z.strictObject({
  date: z.iso.date(),
  scenario: z.string(),
  engine: z.string(),
  /** Of the canonical JSON of the baseline that was accepted. */
  baseline_sha256: z.string().regex(/^[0-9a-f]{64}$/),
  reason: z.string().min(1),
});
export type Acceptance = z.infer<typeof acceptance>;

/**
 * Reads the log, one JSON object per line, oldest first; a log that does not exist yet is empty.
 *
 * @throws AcceptanceLogError naming the line
 */
export async function readAcceptances(file: string): Promise<readonly Acceptance[]> {
  return (await logText(file)).split('\n').flatMap((line, index) => {
    if (line.trim() === '') return [];
    try {
      return [acceptance.parse(JSON.parse(line))];
    } catch (error) {
      const detail = error instanceof Error ? error.message : String(error);
      throw new AcceptanceLogError(
        `${file}, line ${index + 1} is no entry of the acceptance log (${detail}). Restore it; new entries are written by --accept only`,
      );
    }
  });
}

/** What to do where nothing can be written beside a set. */
export const remedyOfSet = 'Accept where the set may be written, or in a copy with --set DIR';

/** Appends one entry; the log is the old one or the new one, never half an entry. @throws UnwritableOutputError */
export async function appendAcceptance(file: string, entry: Acceptance): Promise<void> {
  const before = await logText(file);
  const gap = before === '' || before.endsWith('\n') ? '' : '\n';
  const text = `${before}${gap}${JSON.stringify(acceptance.parse(entry))}\n`;
  await writeFiles(dirname(file), { [basename(file)]: text }, remedyOfSet);
}

async function logText(file: string): Promise<string> {
  try {
    return await readFile(file, 'utf8');
  } catch (error) {
    if (hasCode(error, 'ENOENT')) return '';
    throw error;
  }
}

/** The latest entry of a scenario. */
export function latestAcceptance(log: readonly Acceptance[], scenario: string): Acceptance | null {
  return log.findLast((entry) => entry.scenario === scenario) ?? null;
}
