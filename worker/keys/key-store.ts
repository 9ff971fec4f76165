import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import type { Redis } from 'ioredis';
import { z } from 'zod';
import { redisScript } from '../service/redis-script.js';
import { type Role, role } from './role.js';

const storedKey = z.strictObject({
  id: z.string(),
  /** The person or system that answers for what is done with the key. */
  holder: z.string(),
  roles: z.array(role).min(1),
  secret_sha256: z.string(),
  created_at: z.string(),
  revoked_at: z.string().nullable(),
});
type StoredKey = z.infer<typeof storedKey>;

/** A key is read with every request. */
const compiledKey = z.compile(storedKey);

/** A key without its secret. */
export type ApiKey = Readonly<Omit<StoredKey, 'secret_sha256'>>;

/** A request that came with a valid key, counted. */
export interface Admission {
  readonly key: ApiKey;
  /** Requests of the key in the running window, this one included. */
  readonly requests: number;
  /** Until the window ends and counting begins anew. */
  readonly milliseconds: number;
}

const keysKey = 'deckpace:keys';
const token = /^deckpace_([a-z0-9]{12})_([A-Za-z0-9_-]{43})$/;

/**
 * API keys. Of a secret (256 random bits) only its SHA-256 is stored: a slow hash protects guessable passwords, which these
 * are not. A revoked key stays listed, because safety records name it.
 */
export class KeyStore {
  constructor(private readonly redis: Redis) {}

  /** @returns the key and its token, which is shown this once and stored nowhere */
  async create(
    holder: string,
    roles: readonly Role[],
    now = new Date(),
  ): Promise<{ readonly key: ApiKey; readonly token: string }> {
    const id = randomBytes(6).toString('hex');
    const secret = randomBytes(32).toString('base64url');
    const key = {
      id,
      holder: holder.trim(),
      roles: [...roles],
      created_at: now.toISOString(),
      revoked_at: null,
    };
    await this.redis.hset(keysKey, id, JSON.stringify({ ...key, secret_sha256: sha256(secret) }));
    return { key, token: `deckpace_${id}_${secret}` };
  }

  /** @returns false when there is no such key or it was revoked before */
  async revoke(id: string, now = new Date()): Promise<boolean> {
    const key = await this.find(id);
    if (key === null || key.revoked_at !== null) return false;
    await this.redis.hset(keysKey, id, JSON.stringify({ ...key, revoked_at: now.toISOString() }));
    return true;
  }

  async list(): Promise<readonly ApiKey[]> {
    const all = await this.redis.hvals(keysKey);
    return all
      .map((text) => withoutSecret(parsed(text)))
      .sort((a, b) => (a.created_at < b.created_at ? -1 : 1));
  }

  /**
   * Finds the key a token belongs to and counts the request against it, in one step; for a token that is not valid nothing is
   * counted against anybody.
   *
   * @returns null for anything but a valid token, without saying why
   */
  async admit(presented: string, windowMilliseconds: number): Promise<Admission | null> {
    const [, id, secret] = token.exec(presented) ?? [];
    if (id === undefined || secret === undefined) return null;
    const digest = sha256(secret);
    const answer = await findAndCount(
      this.redis,
      [keysKey, `deckpace:rate:${id}`],
      [id, digest, windowMilliseconds],
    );
    const [text, requests, milliseconds] = Array.isArray(answer) ? answer : [];
    const key = judged(typeof text === 'string' ? parsed(text) : null, digest);
    if (key === null || typeof requests !== 'number' || typeof milliseconds !== 'number') return null;
    return { key, requests, milliseconds };
  }

  private async find(id: string): Promise<StoredKey | null> {
    const text = await this.redis.hget(keysKey, id);
    return text === null ? null : parsed(text);
  }
}

function parsed(text: string): StoredKey {
  return compiledKey.parse(JSON.parse(text));
}

/** The key where it exists, the secret is its own and it was not revoked. */
function judged(key: StoredKey | null, secretSha256: string): ApiKey | null {
  // Compared even when the key is unknown, so that the time taken says nothing.
  const expected = Buffer.from(key?.secret_sha256 ?? sha256(''), 'hex');
  const same = timingSafeEqual(Buffer.from(secretSha256, 'hex'), expected);
  return key !== null && same && key.revoked_at === null ? withoutSecret(key) : null;
}

/**
 * The stored key, and its count where the request is to be counted. The comparison here only decides about counting; it
 * takes the same time for any two texts, because Lua keeps each text once and compares places.
 */
const findAndCount = redisScript(`
local stored = redis.call('HGET', KEYS[1], ARGV[1])
if not stored then return {} end
local key = cjson.decode(stored)
if key.secret_sha256 ~= ARGV[2] or key.revoked_at ~= cjson.null then return {stored} end
local left = redis.call('PTTL', KEYS[2])
if left <= 0 then
  left = tonumber(ARGV[3])
  redis.call('SET', KEYS[2], 1, 'PX', left)
  return {stored, 1, left}
end
return {stored, redis.call('INCR', KEYS[2]), left}
`);

function withoutSecret({ secret_sha256: _, ...key }: StoredKey): ApiKey {
  return key;
}

function sha256(text: string): string {
  return createHash('sha256').update(text).digest('hex');
}
