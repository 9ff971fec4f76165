import { pino } from 'pino';
import { expect, test, vi } from 'vitest';
import { StoreWaitEnded, waitOutStore } from '../../../worker/queue/wait-out-store.js';

const log = pino({ level: 'silent' });
const full = new Error("OOM command not allowed when used memory > 'maxmemory'.");

test('a step is repeated until the store serves it', async () => {
  const step = vi.fn<() => Promise<string>>().mockRejectedValueOnce(full).mockResolvedValueOnce('stored');
  expect(await waitOutStore(new AbortController().signal, log)(step)).toBe('stored');
});

test('a fault of the step itself is no reason to wait', async () => {
  const step = vi.fn<() => Promise<string>>().mockRejectedValue(new TypeError('no such part'));
  await expect(waitOutStore(new AbortController().signal, log)(step)).rejects.toThrow('no such part');
  expect(step).toHaveBeenCalledTimes(1);
});

test('who ends the wait is told why, after one more try', async () => {
  const ending = new AbortController();
  const step = vi.fn(async () => {
    setImmediate(() => ending.abort());
    throw full;
  });
  const waited = waitOutStore(ending.signal, log)(step).catch((error: unknown) => error);
  expect(await waited).toBeInstanceOf(StoreWaitEnded);
  expect(step).toHaveBeenCalledTimes(2);
});
