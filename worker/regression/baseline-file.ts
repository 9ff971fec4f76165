import { readFile } from 'node:fs/promises';
import { z } from 'zod';
import { sha256OfJson } from '../../scenarios/canonical-json.js';
import { rounded } from './compare-contracts.js';
import { contractFields } from './contract-fields.js';

export const baselineFormat = 'deckpace/baseline@1';

/** A stored baseline: contract fields and the engine that made them. */
export const baseline = contractFields.extend({ format: z.literal(baselineFormat), engine: z.string() });
export type Baseline = z.infer<typeof baseline>;

/** Why a scenario has no usable baseline, in words; or the baseline. */
export type BaselineReading =
  | { readonly ok: true; readonly baseline: Baseline; readonly sha256: string }
  | { readonly ok: false; readonly why: string };

/** Reads a stored baseline. Never throws on what a file contains. */
export async function readBaseline(file: string): Promise<BaselineReading> {
  let text: string;
  try {
    text = await readFile(file, 'utf8');
  } catch {
    return { ok: false, why: 'it has no stored baseline' };
  }
  try {
    const document: unknown = JSON.parse(text);
    const parsed = baseline.safeParse(document);
    if (parsed.success) return { ok: true, baseline: parsed.data, sha256: sha256OfJson(document) };
    const [issue] = parsed.error.issues;
    return { ok: false, why: `its baseline does not validate: /${issue?.path.join('/')}: ${issue?.message}` };
  } catch (error) {
    return {
      ok: false,
      why: `its baseline is not JSON: ${error instanceof Error ? error.message : String(error)}`,
    };
  }
}

/** The text of a baseline file: numbers to the digits that are compared, one list of numbers per line. */
export function baselineText(content: Baseline): string {
  const parsed = baseline.parse(content);
  const text = JSON.stringify(
    parsed,
    (_key, value: unknown) => (typeof value === 'number' ? rounded(value) : value),
    1,
  );
  return `${text.replace(/\[\n\s*(-?\d[-+\d.eE,\s]*?)\s*\]/g, (_, list: string) => `[${list.replace(/\s+/g, ' ')}]`)}\n`;
}
