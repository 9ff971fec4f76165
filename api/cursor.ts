import { z } from 'zod';
import { Problem } from './problem.js';

/** Query parameters of every list. */
export const pageQuery = {
  limit: z.coerce.number().int().min(1).max(100).default(20),
  cursor: z.string().max(300).optional(),
};

/** Opaque to clients. */
export function encodeCursor(value: unknown): string {
  return Buffer.from(JSON.stringify(value)).toString('base64url');
}

/** @throws Problem (400) when the cursor is none of ours */
export function decodeCursor<T>(text: string | undefined, schema: z.ZodType<T>): T | null {
  if (text === undefined) return null;
  try {
    const parsed = schema.safeParse(JSON.parse(Buffer.from(text, 'base64url').toString('utf8')));
    if (parsed.success) return parsed.data;
  } catch {
    // Not JSON: no cursor of ours either.
  }
  throw new Problem('malformed-request', 'The cursor is not one that this service gave out.');
}

/** RFC 8288 header that leads to the next page. */
export function nextLink(path: string, query: Readonly<Record<string, string | undefined>>): string {
  const parameters = new URLSearchParams();
  for (const [key, value] of Object.entries(query)) if (value !== undefined) parameters.set(key, value);
  return `<${path}?${parameters}>; rel="next"`;
}
