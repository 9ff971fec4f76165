import { setTimeout as pause } from 'node:timers/promises';

/**
 * Polls until the condition yields something, and returns that.
 *
 * @throws Error naming what was waited for
 */
export async function until<T>(
  what: string,
  condition: () => Promise<T | null | undefined | false> | T | null | undefined | false,
  seconds = 30,
): Promise<T> {
  const end = Date.now() + seconds * 1000;
  for (;;) {
    const value = await condition();
    if (value !== null && value !== undefined && value !== false) return value;
    if (Date.now() > end) throw new Error(`${what}: not within ${seconds} s`);
    await pause(20);
  }
}
