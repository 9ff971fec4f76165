import { type Job, UnrecoverableError } from 'bullmq';
import { Webhook } from 'standardwebhooks';
import type { DeliveryJob } from '../queue/queues.js';
import type { Patience } from '../queue/wait-out-store.js';
import type { Settings } from '../service/settings.js';
import { postPinned } from './post-pinned.js';
import { type DeliveryAttempt, eventType } from './subscription.js';
import type { SubscriptionStore } from './subscription-store.js';
import { assertAcceptableUrl, pinAddress, WebhookTargetRefused } from './webhook-address.js';

/**
 * One attempt at one delivery, signed as Standard Webhooks lays down, and its entry in the log.
 *
 * @throws UnrecoverableError when the target may not be called or is gone (410)
 * @throws Error when a later attempt may succeed
 */
export async function deliver(
  store: SubscriptionStore,
  settings: Settings,
  job: Job<DeliveryJob>,
  patiently: Patience,
  now = new Date(),
): Promise<string> {
  const { subscription: id, delivery, type, body } = job.data;
  const target = await patiently(() => store.withSecret(id));
  if (target === null) return 'subscription removed';
  const log = (outcome: DeliveryAttempt['outcome'], status: number | null, error: string | null) =>
    patiently(() =>
      store.logAttempt(id, {
        delivery,
        type: eventType.parse(type),
        at: now.toISOString(),
        attempt: job.attemptsMade + 1,
        outcome,
        status,
        error,
      }),
    );

  let status: number;
  try {
    const url = assertAcceptableUrl(target.subscription.url, settings.DECKPACE_WEBHOOK_PRIVATE);
    const address = await pinAddress(url, settings.DECKPACE_WEBHOOK_PRIVATE);
    const headers = {
      'content-type': 'application/json',
      'user-agent': 'deckpace',
      'webhook-id': delivery,
      'webhook-timestamp': Math.floor(now.getTime() / 1000).toString(),
      'webhook-signature': new Webhook(target.secret).sign(delivery, now, body),
    };
    status = await postPinned(url, address, headers, body, settings.DECKPACE_WEBHOOK_SECONDS);
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    const refused = error instanceof WebhookTargetRefused;
    await log(refused ? 'refused' : 'failed', null, message);
    throw refused ? new UnrecoverableError(message) : new Error(message);
  }
  if (status >= 200 && status < 300) {
    await log('delivered', status, null);
    return 'delivered';
  }
  const redirect = status >= 300 && status < 400 ? ' (redirects are not followed)' : '';
  await log('failed', status, `answered ${status}${redirect}`);
  if (status === 410) throw new UnrecoverableError('answered 410: the receiver is gone');
  throw new Error(`answered ${status}${redirect}`);
}
