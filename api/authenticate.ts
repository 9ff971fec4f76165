import type { Request } from 'express';
import type { ApiKey } from '../worker/keys/key-store.js';
import { Problem } from './problem.js';
import type { Route } from './route.js';
import type { Services } from './services.js';

/** Who asks on routes that are open to anyone. */
export const nobody: ApiKey = { id: '', holder: '', roles: [], created_at: '', revoked_at: null };

/**
 * The key of the request's bearer token.
 *
 * @throws Problem (401)
 */
export async function authenticate(request: Request, { keys }: Services): Promise<ApiKey> {
  const [, token] = /^Bearer +(\S{1,200})$/i.exec(request.get('authorization') ?? '') ?? [];
  const key = token === undefined ? null : await keys.authenticate(token);
  if (key !== null) return key;
  throw new Problem(
    'key-needed',
    'Send a valid key as "Authorization: Bearer ..."; `deckpace keys create` makes one.',
    {
      headers: { 'www-authenticate': 'Bearer realm="deckpace"' },
    },
  );
}

/** @throws Problem (403) */
export function assertRole(key: ApiKey, route: Route): void {
  const { access } = route;
  if (access === 'anyone' || access.some((role) => key.roles.includes(role))) return;
  throw new Problem(
    'role-needed',
    `This takes the role ${access.join(' or ')}; the key has ${key.roles.join(', ')}.`,
  );
}
