import { expect, test } from 'vitest';
import { readSettings } from '../../../worker/service/settings.js';
import { deliveryPause } from '../../../worker/subscriptions/delivery-pause.js';

test('attempts at a delivery begin seconds apart and go on for a day, a quarter of an hour apart at most', () => {
  const attempts = readSettings({}).DECKPACE_WEBHOOK_ATTEMPTS;
  const pauses = Array.from({ length: attempts - 1 }, (_, index) => deliveryPause(index + 1, 0.5));
  expect(pauses.slice(0, 3)).toEqual([850, 1700, 3400]);
  expect(Math.max(...pauses)).toBeLessThanOrEqual(15 * 60_000);
  expect(pauses.reduce((sum, pause) => sum + pause, 0)).toBeGreaterThan(24 * 3_600_000);
});

test('pauses are spread, never longer than they are meant to be', () => {
  expect(deliveryPause(3, 0)).toBe(4000);
  expect(deliveryPause(3, 1)).toBe(2800);
});
