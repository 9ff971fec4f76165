import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import type { Redis } from 'ioredis';
import { z } from 'zod';
import { storedJson } from '../service/stored-json.js';
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

  /** Whether such a key was ever made. */
  async has(id: string): Promise<boolean> {
    return (await this.find(id)) !== null;
  }

  /** Oldest first, with the ids of those that cannot be read: they open nothing, and hide no other. */
  async all(): Promise<{ readonly keys: readonly ApiKey[]; readonly unreadable: readonly string[] }> {
    const read = Object.entries(await this.redis.hgetall(keysKey)).map(([id, text]) => ({
      id,
      key: storedJson(compiledKey, text),
    }));
    return {
      keys: read
        .flatMap(({ key }) => (key === null ? [] : [withoutSecret(key)]))
        .sort((a, b) => (a.created_at < b.created_at ? -1 : 1)),
      unreadable: read.filter(({ key }) => key === null).map(({ id }) => id),
    };
  }

  /** @returns the key a token belongs to; null for anything else, without saying why */
  async authenticate(presented: string): Promise<ApiKey | null> {
    const [, id, secret] = token.exec(presented) ?? [];
    if (id === undefined || secret === undefined) return null;
    const key = await this.find(id);
    // Compared even when the key is unknown, so that the time taken says nothing.
    const expected = Buffer.from(key?.secret_sha256 ?? sha256(''), 'hex');
    const same = timingSafeEqual(Buffer.from(sha256(secret), 'hex'), expected);
    return key !== null && same && key.revoked_at === null ? withoutSecret(key) : null;
  }

  private async find(id: string): Promise<StoredKey | null> {
    const text = await this.redis.hget(keysKey, id);
    return text === null ? null : storedJson(compiledKey, text);
  }
}

function withoutSecret({ secret_sha256: _, ...key }: StoredKey): ApiKey {
  return key;
}

function sha256(text: string): string {
  return createHash('sha256').update(text).digest('hex');
}
