import { readFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { type Result, result as resultSchema } from '../../scenarios/result.js';
import { cutShortFile, isCutShort } from '../cli/write-files.js';
import { NotAResultError } from './regression-errors.js';

const format = 'deckpace/result@1';

/**
 * Reads a result file, unless it may be of another run than the files beside it.
 *
 * @throws NotAResultError
 */
export async function readResultFile(file: string): Promise<Result> {
  let text: string;
  try {
    text = await readFile(file, 'utf8');
  } catch (error) {
    throw new NotAResultError(
      `${file} cannot be read: ${error instanceof Error ? error.message : String(error)}`,
      { cause: error },
    );
  }
  if (await isCutShort(dirname(file)))
    throw new NotAResultError(
      `${file} may be of another run than the files beside it: ${join(dirname(file), cutShortFile)} says that writing was cut short. Assess again`,
    );
  return parseResult(text, file);
}

/** @throws NotAResultError */
export function parseResult(text: string, file: string): Result {
  let document: unknown;
  try {
    document = JSON.parse(text);
  } catch (error) {
    throw new NotAResultError(
      `${file} is not JSON: ${error instanceof Error ? error.message : String(error)}`,
    );
  }
  const tag = typeof document === 'object' && document !== null ? Reflect.get(document, 'format') : undefined;
  const version = typeof tag === 'string' ? /^deckpace\/result@(\d+)$/.exec(tag)?.[1] : undefined;
  if (version !== undefined && Number(version) > 1)
    throw new NotAResultError(
      `${file} is a result of a newer deckpace (${tag}); this one reads ${format}. Update deckpace to compare it`,
    );
  if (tag !== format)
    throw new NotAResultError(`${file} is no result file: its "format" should be "${format}"`);
  const parsed = resultSchema.safeParse(document);
  if (parsed.success) return parsed.data;
  const [issue] = parsed.error.issues;
  throw new NotAResultError(
    `${file} is tagged ${format} but does not have its form: ${issue?.message} at /${issue?.path.join('/')}`,
  );
}
