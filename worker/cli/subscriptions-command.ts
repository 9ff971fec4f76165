import type { Command } from 'commander';
import type { Subscription } from '../subscriptions/subscription.js';
import type { SubscriptionStore } from '../subscriptions/subscription-store.js';
import { UsageError } from './command-errors.js';
import { type OutputStream, type Terminal, writeOut } from './terminal.js';
import { withRedis } from './with-redis.js';

/** Adds `deckpace subscriptions list | remove` to the command line. */
export function addSubscriptions(program: Command, terminal: Terminal): void {
  const subscriptions = program
    .command('subscriptions')
    .description('who is told of restrictions by webhook, of the service at REDIS_URL')
    .addHelpText('afterAll', examples);
  subscriptions
    .command('list')
    .description('every subscription with its owner and key, without its secret')
    .option('--json', 'print as JSON on standard output', false)
    .action(({ json }: { json: boolean }) =>
      withSubscriptions(terminal, async (store) => {
        const { subscriptions: all, unreadable } = await store.all();
        const text = json ? `${JSON.stringify(all, null, 2)}\n` : all.map(subscriptionLine).join('');
        await writeOut(terminal.stdout, text);
        warnOfUnreadable(unreadable, terminal.stderr);
      }),
    );
  subscriptions
    .command('remove')
    .description('end a subscription at once, whoever owns it')
    .argument('<ID>', 'id of the subscription, as listed')
    .action((id: string) =>
      withSubscriptions(terminal, async (store) => {
        if (!(await store.remove(id))) throw new UsageError(`there is no subscription ${id}`);
        terminal.stderr.write(`Subscription ${id} is removed.\n`);
      }),
    );
}

/** One subscription for people to read: id, when, events, key, owner, target. */
export function subscriptionLine({ id, created_at, events, owner_key, owner, url }: Subscription): string {
  return `${id}  ${created_at}  ${events.join(',')}  key ${owner_key}  ${owner}  ${url}\n`;
}

/** Says which subscriptions nobody can say anything of. */
export function warnOfUnreadable(ids: readonly string[], stderr: OutputStream): void {
  for (const id of ids)
    stderr.write(
      `Subscription ${id} cannot be read, so it is told nothing; remove it and subscribe again.\n`,
    );
}

function withSubscriptions(
  terminal: Terminal,
  use: (store: SubscriptionStore) => Promise<void>,
): Promise<void> {
  return withRedis(terminal, async (redis) => {
    const subscriptions = await import('../subscriptions/subscription-store.js');
    await use(new subscriptions.SubscriptionStore(redis));
  });
}

const examples = `
Examples:
  deckpace subscriptions list
  deckpace subscriptions remove s3f9c2ab81d04e657`;
