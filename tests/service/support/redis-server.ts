import { type ChildProcess, spawn } from 'node:child_process';
import { randomInt } from 'node:crypto';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Redis } from 'ioredis';
import { isThere } from './install-redis.js';

/** A Redis of the test's own, on a free port, with an append-only file in a folder of its own. */
export class RedisServer {
  private process: ChildProcess | null = null;
  private readonly folder = mkdtempSync(join(tmpdir(), 'deckpace-redis-'));

  private constructor(
    readonly port: number,
    private readonly extra: readonly string[],
    /** A Redis that runs already and is nobody's to start or stop; null for one of the test's own. */
    private readonly given: string | null = null,
  ) {}

  /** The empty Redis that a pipeline provides at DECKPACE_TEST_REDIS_URL, otherwise one of the test's own. */
  static async givenOrStarted(): Promise<RedisServer> {
    const given = process.env.DECKPACE_TEST_REDIS_URL;
    return given === undefined
      ? RedisServer.start()
      : new RedisServer(Number(new URL(given).port), [], given);
  }

  static async start(...extra: readonly string[]): Promise<RedisServer> {
    const server = new RedisServer(await freePort(), extra);
    await server.up();
    return server;
  }

  get url(): string {
    return this.given ?? `redis://127.0.0.1:${this.port}`;
  }

  /** Starts it (again), with what its append-only file holds. */
  async up(): Promise<void> {
    const child = spawn(
      redisServerProgram(),
      [
        ...['--port', String(this.port), '--bind', '127.0.0.1', '--dir', this.folder],
        ...['--appendonly', 'yes', '--appendfsync', 'everysec', '--save', ''],
        ...['--maxmemory-policy', 'noeviction', ...this.extra],
      ],
      { stdio: 'ignore' },
    );
    this.process = child;
    const ended = once(child, 'exit').then(() => {
      throw new Error(`the test's Redis ended at its start; port ${this.port} may be taken`);
    });
    const redis = new Redis(this.url, {
      lazyConnect: true,
      maxRetriesPerRequest: null,
      retryStrategy: () => 20,
    });
    redis.on('error', () => {});
    await Promise.race([redis.ping(), ended]);
    ended.catch(() => {});
    redis.disconnect();
  }

  /** SIGKILL: nothing is written that was not written before. */
  async kill(): Promise<void> {
    const child = this.process;
    this.process = null;
    if (child === null || child.exitCode !== null) return;
    const exited = once(child, 'exit');
    child.kill('SIGKILL');
    await exited;
  }

  async stop(): Promise<void> {
    await this.kill();
    rmSync(this.folder, { recursive: true, force: true });
  }
}

/** @throws Error that says how to get one; where they can, the tests have installed it before (install-redis.ts) */
function redisServerProgram(): string {
  if (isThere('redis-server')) return 'redis-server';
  throw new Error(
    'The tests of the service need a redis-server (6.2 or newer) on PATH. On Debian or Ubuntu: ' +
      '"sudo apt-get install redis-server"; on macOS: "brew install redis". They start it themselves, on a free port.',
  );
}

/**
 * A port nobody listens on, below those from which systems serve whoever asks for any port: a Redis that is down for a
 * while finds its port free again, and nobody who tries to reach it meanwhile is given that port to call from.
 */
export async function freePort(): Promise<number> {
  for (;;) {
    const server = createServer().listen(randomInt(15_000, 32_000), '127.0.0.1');
    try {
      await once(server, 'listening');
    } catch {
      continue;
    }
    const address = server.address();
    server.close();
    await once(server, 'close');
    if (typeof address !== 'object' || address === null) throw new Error('no port');
    return address.port;
  }
}
