import type { Command } from 'commander';
import type { ApiKey, KeyStore } from '../keys/key-store.js';
import { type Role, role } from '../keys/role.js';
import type { SubscriptionStore } from '../subscriptions/subscription-store.js';
import { UsageError } from './command-errors.js';
import { subscriptionLine, warnOfUnreadable } from './subscriptions-command.js';
import { type Terminal, writeOut } from './terminal.js';
import { withRedis } from './with-redis.js';

/** Adds `deckpace keys create | list | revoke` to the command line. */
export function addKeys(program: Command, terminal: Terminal): void {
  const keys = program
    .command('keys')
    .description('API keys of the service at REDIS_URL')
    .addHelpText('afterAll', examples);
  keys
    .command('create')
    .description('make a key; its token is shown this once and stored nowhere')
    .requiredOption('--holder <NAME>', 'the person or system that answers for what is done with the key')
    .requiredOption(
      '--role <ROLE>',
      `${role.options.join(', ')}; repeat for several`,
      (one: string, before: readonly string[] = []) => [...before, one],
    )
    .action((options: { holder: string; role: readonly string[] }) =>
      withKeys(terminal, async (store) => {
        const { key, token } = await store.create(holderOf(options.holder), [
          ...new Set(options.role.map(roleOf)),
        ]);
        terminal.stderr.write(
          `Key ${key.id} of ${key.holder}: ${key.roles.join(', ')}. Keep the token safe:\n`,
        );
        await writeOut(terminal.stdout, `${token}\n`);
      }),
    );
  keys
    .command('list')
    .description('every key ever made, without its secret')
    .option('--json', 'print as JSON on standard output', false)
    .action(({ json }: { json: boolean }) =>
      withKeys(terminal, async (store) => {
        const { keys: all, unreadable } = await store.all();
        await writeOut(terminal.stdout, json ? `${JSON.stringify(all, null, 2)}\n` : all.map(line).join(''));
        for (const id of unreadable)
          terminal.stderr.write(
            `Key ${id} cannot be read, so it opens nothing; make a new one for its holder.\n`,
          );
      }),
    );
  keys
    .command('revoke')
    .description('end a key at once; says which subscriptions were made with it, because they go on')
    .argument('<ID>', 'id of the key, as listed')
    .option(
      '--end-subscriptions',
      'remove the subscriptions that were made with it, too; also later, of a key that is revoked already',
      false,
    )
    .action((id: string, { endSubscriptions }: { endSubscriptions: boolean }) =>
      withRedis(terminal, async (redis) => {
        const [keyStore, subscriptionStore] = await Promise.all([
          import('../keys/key-store.js'),
          import('../subscriptions/subscription-store.js'),
        ]);
        const store = new keyStore.KeyStore(redis);
        const known = (await store.revoke(id)) || (endSubscriptions && (await store.has(id)));
        if (!known) throw new UsageError(`there is no key ${id} that is not revoked already`);
        terminal.stderr.write(`Key ${id} is revoked.\n`);
        await settleSubscriptions(
          id,
          new subscriptionStore.SubscriptionStore(redis),
          endSubscriptions,
          terminal,
        );
      }),
    );
}

/** What was made with a key that is revoked goes on being told, unless it is ended here. */
async function settleSubscriptions(
  key: string,
  store: SubscriptionStore,
  end: boolean,
  { stdout, stderr }: Terminal,
): Promise<void> {
  const { subscriptions, unreadable } = await store.all();
  const left = subscriptions.filter(({ owner_key }) => owner_key === key);
  if (end) for (const { id } of left) await store.remove(id);
  if (left.length > 0) {
    stderr.write(
      end
        ? 'Removed subscriptions that were made with it:\n'
        : 'Subscriptions that were made with it go on; end them with `deckpace subscriptions remove ID`:\n',
    );
    await writeOut(stdout, left.map(subscriptionLine).join(''));
  }
  warnOfUnreadable(unreadable, stderr);
}

function withKeys(terminal: Terminal, use: (store: KeyStore) => Promise<void>): Promise<void> {
  return withRedis(terminal, async (redis) => {
    const keys = await import('../keys/key-store.js');
    await use(new keys.KeyStore(redis));
  });
}

function holderOf(text: string): string {
  const holder = text.trim();
  // Lists have a line for each key, and go to terminals.
  if (/[\p{Cc}\p{Zl}\p{Zp}]/u.test(holder))
    throw new UsageError('--holder takes a name without line breaks and control characters');
  if (holder.length >= 2 && holder.length <= 200) return holder;
  throw new UsageError('--holder takes a name of 2 to 200 characters');
}

function roleOf(text: string): Role {
  const parsed = role.safeParse(text);
  if (parsed.success) return parsed.data;
  throw new UsageError(`--role ${text}: accepted are ${role.options.join(', ')}`);
}

function line({ id, holder, roles, created_at, revoked_at }: ApiKey): string {
  const state = revoked_at === null ? 'valid' : `revoked ${revoked_at}`;
  return `${id}  ${created_at}  ${roles.join(',').padEnd(20)}  ${state.padEnd(33)}  ${holder}\n`;
}

const examples = `
Examples:
  deckpace keys create --holder "E. Engineer" --role engineer
  deckpace keys create --holder "A. Approver" --role engineer --role approver
  deckpace keys list
  deckpace keys revoke 3f9c2ab81d04
  deckpace keys revoke 3f9c2ab81d04 --end-subscriptions`;
