import type { Request, Response } from 'express';
import type { Admission, ApiKey } from '../worker/keys/key-store.js';
import { Problem } from './problem.js';
import type { Route } from './route.js';
import type { Services } from './services.js';

/** Who asks on routes that are open to anyone. */
export const nobody: ApiKey = { id: '', holder: '', roles: [], created_at: '', revoked_at: null };

const WINDOW_SECONDS = 60;

/**
 * The key of the request's bearer token, if it has not made too many requests. Every answer says how many it has left, as
 * draft 8 of "RateLimit header fields for HTTP" has it.
 *
 * @throws Problem (401, 429)
 */
export async function authenticate(
  request: Request,
  response: Response,
  { keys, settings }: Services,
): Promise<ApiKey> {
  const [, token] = /^Bearer +(\S{1,200})$/i.exec(request.get('authorization') ?? '') ?? [];
  const admission = token === undefined ? null : await keys.admit(token, WINDOW_SECONDS * 1000);
  if (admission !== null) {
    limitRate(response, admission, settings.DECKPACE_REQUESTS_PER_MINUTE);
    return admission.key;
  }
  throw new Problem(
    'key-needed',
    'Send a valid key as "Authorization: Bearer ..."; `deckpace keys create` makes one.',
    {
      headers: { 'www-authenticate': 'Bearer realm="deckpace"' },
    },
  );
}

/** @throws Problem (429) */
function limitRate(response: Response, { requests, milliseconds }: Admission, limit: number): void {
  const seconds = Math.ceil(milliseconds / 1000);
  const policy = `"${limit}-in-1min"`;
  response.setHeader('RateLimit-Policy', `${policy}; q=${limit}; w=${WINDOW_SECONDS}`);
  response.setHeader('RateLimit', `${policy}; r=${Math.max(limit - requests, 0)}; t=${seconds}`);
  if (requests <= limit) return;
  throw new Problem('too-many-requests', 'This key has made too many requests; wait a little.', {
    headers: { 'retry-after': String(seconds) },
  });
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
