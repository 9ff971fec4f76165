import { z } from 'zod';

export const eventType = z.enum([
  'restriction.drafted',
  'restriction.approved',
  'restriction.withdrawn',
  'restriction.superseded',
  'regression.changed',
]);
export type EventType = z.infer<typeof eventType>;

/** An operator's wish to be told. */
export const subscription = z.strictObject({
  id: z.string(),
  url: z.url({ protocol: /^https?$/ }).max(2000),
  events: z.array(eventType).min(1),
  owner: z.string(),
  owner_key: z.string(),
  created_at: z.iso.datetime(),
});
export type Subscription = Readonly<z.infer<typeof subscription>>;

/** One attempt at telling it. */
export const deliveryAttempt = z.strictObject({
  delivery: z.string(),
  type: eventType,
  at: z.iso.datetime(),
  attempt: z.int().positive(),
  outcome: z.enum(['delivered', 'failed', 'refused']),
  status: z.int().nullable(),
  error: z.string().nullable(),
});
export type DeliveryAttempt = Readonly<z.infer<typeof deliveryAttempt>>;
