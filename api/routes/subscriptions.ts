import { z } from 'zod';
import type { ApiKey } from '../../worker/keys/key-store.js';
import {
  deliveryAttempt,
  eventType,
  type Subscription,
  subscription,
} from '../../worker/subscriptions/subscription.js';
import { assertAcceptableUrl } from '../../worker/subscriptions/webhook-address.js';
import { decodeCursor, encodeCursor, nextLink, pageQuery } from '../cursor.js';
import { Problem } from '../problem.js';
import { none, route } from '../route.js';
import type { Services } from '../services.js';

const access = ['operator'] as const;
const subscriptionParams = z.strictObject({ id: z.string().regex(/^s[a-f0-9]{16}$/) });
const offset = z.strictObject({ offset: z.int().min(0) });
const events = z
  .array(eventType)
  .min(1)
  .max(eventType.options.length)
  .default(['restriction.approved', 'restriction.withdrawn', 'restriction.superseded']);

/** Another operator's subscription is none of this one's business, not even that it exists. @throws Problem (404) */
async function ownSubscription({ subscriptions }: Services, id: string, key: ApiKey): Promise<Subscription> {
  const found = await subscriptions.find(id);
  if (found === null || found.owner !== key.holder) {
    throw new Problem('not-found', `There is no subscription ${id} of yours.`);
  }
  return found;
}

const create = route({
  method: 'post',
  path: '/v1/subscriptions',
  operation: 'createSubscription',
  summary:
    'Be told of restriction events by webhook, signed as Standard Webhooks lays down. The secret is shown this once.',
  access,
  params: none,
  query: none,
  body: z.strictObject({ url: subscription.shape.url, events }),
  idempotency: 'reply',
  replies: { 201: { description: 'Subscribed', schema: subscription.extend({ secret: z.string() }) } },
  handle: async ({ body, key, mark }, { subscriptions, settings }) => {
    assertAcceptableUrl(body.url, settings.DECKPACE_WEBHOOK_PRIVATE);
    const wish = { url: body.url, events: body.events, owner: key.holder, ownerKey: key.id };
    const created = await subscriptions.create(wish, mark === null ? undefined : `s${mark}`);
    return {
      status: 201,
      headers: { location: `/v1/subscriptions/${created.subscription.id}` },
      json: { ...created.subscription, secret: created.secret },
    };
  },
});

const list = route({
  method: 'get',
  path: '/v1/subscriptions',
  operation: 'listSubscriptions',
  summary: 'Your own subscriptions.',
  access,
  params: none,
  query: none,
  body: none,
  replies: { 200: { description: 'All of them', schema: z.strictObject({ items: z.array(subscription) }) } },
  handle: async ({ key }, { subscriptions }) => ({
    status: 200,
    json: { items: (await subscriptions.list()).filter(({ owner }) => owner === key.holder) },
  }),
});

const remove = route({
  method: 'delete',
  path: '/v1/subscriptions/{id}',
  operation: 'removeSubscription',
  summary: 'End a subscription of your own.',
  access,
  params: subscriptionParams,
  query: none,
  body: none,
  replies: { 204: { description: 'Ended' } },
  handle: async ({ params, key }, services) => {
    await ownSubscription(services, params.id, key);
    await services.subscriptions.remove(params.id);
    return { status: 204 };
  },
});

const deliveries = route({
  method: 'get',
  path: '/v1/subscriptions/{id}/deliveries',
  operation: 'listDeliveries',
  summary: 'Attempts at delivering, newest first.',
  access,
  params: subscriptionParams,
  query: z.strictObject(pageQuery),
  body: none,
  replies: {
    200: {
      description: 'One page',
      schema: z.strictObject({ items: z.array(deliveryAttempt), next: z.string().nullable() }),
    },
  },
  handle: async ({ params, query, key }, services) => {
    await ownSubscription(services, params.id, key);
    const from = decodeCursor(query.cursor, offset)?.offset ?? 0;
    const found = await services.subscriptions.attempts(params.id, from, query.limit + 1);
    const next = found.length > query.limit ? encodeCursor({ offset: from + query.limit }) : null;
    const path = `/v1/subscriptions/${params.id}/deliveries`;
    return {
      status: 200,
      headers: next === null ? {} : { link: nextLink(path, { limit: String(query.limit), cursor: next }) },
      json: { items: found.slice(0, query.limit), next },
    };
  },
});

export const subscriptionRoutes = [create, list, remove, deliveries];
