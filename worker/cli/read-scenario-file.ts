import { type FileHandle, open } from 'node:fs/promises';
import type { Fault } from '../../scenarios/fault.js';
import { fault } from '../../scenarios/fault.js';
import { readScenario } from '../../scenarios/read-scenario.js';
import type { Scenario } from '../../scenarios/scenario.js';
import { scenarioBounds } from '../../scenarios/schema/bounds.js';
import { hasCode } from '../has-code.js';
import { type FileFaults, InvalidScenarioError, UnreadableFileError } from './command-errors.js';
import { profileCsvOf, withProfileOf } from './profile-csv.js';

/** A scenario and the file it came from. */
export interface ScenarioFile {
  readonly file: string;
  readonly scenario: Scenario;
  /** The file as parsed JSON, before defaults: a report echoes what was given. */
  readonly document: unknown;
  readonly sha256: string;
}

/** What became of one file: a scenario, or what is wrong with it. */
export type ScenarioReading = ({ readonly ok: true } & ScenarioFile) | ({ readonly ok: false } & FileFaults);

/**
 * Reads and validates one scenario file.
 *
 * @throws UnreadableFileError when there is nothing to read: absent, a directory, not permitted.
 */
export async function readScenarioFile(file: string): Promise<ScenarioReading> {
  const bytes = await readBounded(file, scenarioBounds.fileBytes);
  if (bytes === null) return { ok: false, file, faults: [tooLarge()] };
  const reading = readScenario(bytes, { alone: true });
  if (reading.ok) return { ...reading, file, document: JSON.parse(new TextDecoder().decode(bytes)) };
  const others = reading.faults.filter(
    ({ code, pointer }) => !(code === 'not-applicable' && pointer === csvPointer),
  );
  if (others.length > 0 || reading.faults.length === 0) return { ok: false, file, faults: others };
  return readWithProfile(file, JSON.parse(new TextDecoder().decode(bytes)));
}

/** Where a scenario names a file for its rail profile, which is for the command line to read. */
const csvPointer = '/track_irregularity/profile_csv';

async function readWithProfile(file: string, given: unknown): Promise<ScenarioReading> {
  const filled = await withProfileOf(given, profileCsvOf(given) ?? '', file);
  if (!filled.ok) return { ok: false, file, faults: filled.faults };
  const reading = readScenario(JSON.stringify(filled.document), { alone: true });
  return reading.ok
    ? { ...reading, file, document: filled.document }
    : { ok: false, file, faults: reading.faults };
}

/**
 * Reads several files, all before any is run, so that one fault does not surface after an hour of computing.
 *
 * @throws InvalidScenarioError with the faults of every file that has some, and every file that cannot be read.
 */
export async function readScenarioFiles(files: readonly string[]): Promise<readonly ScenarioFile[]> {
  const readings = await readEveryFile(files);
  const invalid = readings.filter((reading) => !reading.ok);
  if (invalid.length > 0) throw new InvalidScenarioError(invalid);
  return readings.filter((reading) => reading.ok);
}

/** Reads several files; one that cannot be read hides nothing of the others. */
export function readEveryFile(files: readonly string[]): Promise<readonly ScenarioReading[]> {
  return Promise.all(
    files.map(async (file): Promise<ScenarioReading> => {
      try {
        return await readScenarioFile(file);
      } catch (error) {
        if (error instanceof UnreadableFileError) return { ok: false, file, faults: [], unreadable: error };
        throw error;
      }
    }),
  );
}

/** At most `bound` bytes of a file or pipe; null when there is more. The size is asked for first, so that nothing huge is read. */
async function readBounded(file: string, bound: number): Promise<Uint8Array | null> {
  let handle: FileHandle | undefined;
  try {
    handle = await open(file, 'r');
    const about = await handle.stat();
    if (about.isDirectory()) throw new UnreadableFileError(`${file} is a directory, not a scenario file`);
    if (about.size > bound) return null;
    // A pipe has no size: it is read up to the bound and not beyond.
    const chunks: Uint8Array[] = [];
    let total = 0;
    for (;;) {
      const { bytesRead, buffer } = await handle.read(new Uint8Array(64 * 1024));
      if (bytesRead === 0) return Buffer.concat(chunks, total);
      total += bytesRead;
      if (total > bound) return null;
      chunks.push(buffer.subarray(0, bytesRead));
    }
  } catch (error) {
    throw error instanceof UnreadableFileError ? error : unreadable(file, error);
  } finally {
    await handle?.close();
  }
}

function unreadable(file: string, error: unknown): unknown {
  if (!(error instanceof Error)) return error;
  if (hasCode(error, 'ENOENT', 'ENOTDIR')) {
    const hint = file === '-' ? '; standard input is read as /dev/stdin' : '';
    return new UnreadableFileError(`there is no file ${file}${hint}`);
  }
  if (hasCode(error, 'EACCES', 'EPERM'))
    return new UnreadableFileError(`${file} may not be read: permission denied`);
  return new UnreadableFileError(`${file} cannot be read: ${error.message}`, { cause: error });
}

function tooLarge(): Fault {
  const megabytes = scenarioBounds.fileBytes / 1e6;
  return fault([], 'file-too-large', {
    found: `more than ${megabytes} MB`,
    accepted: `a scenario file of at most ${megabytes} MB (${scenarioBounds.fileBytes} bytes)`,
  });
}
