import { DelayedError } from 'bullmq';
import { expect, test } from 'vitest';
import { DeliveryShares } from '../../../worker/subscriptions/delivery-shares.js';

interface Deferred {
  readonly answered: Promise<string>;
  readonly answer: (what: string) => void;
  readonly fail: (error: Error) => void;
}

function deferred(): Deferred {
  let answer: Deferred['answer'] = () => {};
  let fail: Deferred['fail'] = () => {};
  const answered = new Promise<string>((resolve, reject) => {
    answer = resolve;
    fail = reject;
  });
  return { answered, answer, fail };
}

const putOff: number[] = [];
const jobFor = (subscription: string) => ({
  data: { subscription, delivery: 'd', type: 'restriction.approved', body: '', after: [] },
  timestamp: Date.now(),
  moveToDelayed: async (at: number) => {
    putOff.push(at);
  },
});

test('a receiver that does not answer has two deliveries under way, and others are told meanwhile', async () => {
  const shares = new DeliveryShares();
  const silent = [deferred(), deferred()];
  const hanging = silent.map(({ answered }) => shares.within(jobFor('silent'), 't', () => answered));
  const before = Date.now();
  await expect(shares.within(jobFor('silent'), 't', async () => 'told')).rejects.toThrow(DelayedError);
  expect(putOff).toHaveLength(1);
  expect(putOff[0]).toBeGreaterThanOrEqual(before + 250);
  expect(await shares.within(jobFor('other'), 't', async () => 'told')).toBe('told');

  // Whether it answers or fails, its place is free again.
  silent[0]!.answer('told');
  silent[1]!.fail(new Error('no answer within 10 s'));
  await expect(Promise.allSettled(hanging)).resolves.toMatchObject([
    { value: 'told' },
    { reason: { message: 'no answer within 10 s' } },
  ]);
  expect(await shares.within(jobFor('silent'), 't', async () => 'told')).toBe('told');
  expect(putOff).toHaveLength(1);
});
