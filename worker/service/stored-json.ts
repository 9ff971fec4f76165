import type { z } from 'zod';

/** What JSON that was stored says; null where it cannot be read. */
export function storedJson<T>(schema: z.ZodType<T>, text: string): T | null {
  try {
    return schema.parse(JSON.parse(text));
  } catch {
    return null;
  }
}
