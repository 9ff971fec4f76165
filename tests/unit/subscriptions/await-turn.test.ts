import { expect, test } from 'vitest';
import { awaitTurn } from '../../../worker/subscriptions/await-turn.js';

/** The second event of a restriction, queued at 0 ms, whose first event is in the given state. */
function delivery(
  state: 'active' | 'delayed' | 'completed' | 'failed' | 'unknown',
  type = 'restriction.approved',
) {
  const putOffTo: number[] = [];
  const job = {
    data: { subscription: 's1', delivery: 'r1-2', type, body: '{}', after: ['r1-1'] },
    timestamp: 0,
    moveToDelayed: async (timestamp: number) => {
      putOffTo.push(timestamp);
    },
  };
  const asked: string[] = [];
  const queue = {
    getJobState: async (id: string) => {
      asked.push(id);
      return state;
    },
  };
  return { putOffTo, asked, at: (now: number) => awaitTurn(queue, job, 'token', now) };
}

test.each(['active', 'delayed'] as const)(
  'a delivery waits while the one before it to the same subscriber is %s',
  async (state) => {
    const { at, asked, putOffTo } = delivery(state);
    await expect(at(1000)).rejects.toMatchObject({ name: 'DelayedError' });
    expect(putOffTo).toEqual([1250]);
    expect(asked).toEqual(['s1-r1-1']);
  },
);

test.each(['completed', 'failed', 'unknown'] as const)(
  'a delivery goes once the one before it is %s',
  async (state) => {
    await expect(delivery(state).at(1000)).resolves.toBeUndefined();
  },
);

test('an approval waits no longer than half a minute for what a receiver goes on refusing', async () => {
  await expect(delivery('delayed').at(30_001)).resolves.toBeUndefined();
});

test('nor longer where the clock has been set back an hour since it was queued; clocks a second apart change nothing', async () => {
  await expect(delivery('delayed').at(-3_600_000)).resolves.toBeUndefined();
  await expect(delivery('delayed').at(-1000)).rejects.toMatchObject({ name: 'DelayedError' });
});

test.each(['restriction.withdrawn', 'restriction.superseded'])(
  '%s lifts a restriction and waits until what comes before it is settled',
  async (type) => {
    const { at, putOffTo } = delivery('delayed', type);
    await expect(at(100_000)).rejects.toMatchObject({ name: 'DelayedError' });
    await expect(at(10_000_000)).rejects.toMatchObject({ name: 'DelayedError' });
    expect(putOffTo).toEqual([110_000, 10_060_000]);
    await expect(delivery('failed', type).at(10_000_000)).resolves.toBeUndefined();
  },
);
