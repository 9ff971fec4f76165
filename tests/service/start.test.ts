import { execFile } from 'node:child_process';
import { once } from 'node:events';
import { createServer } from 'node:net';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { Redis } from 'ioredis';
import { afterEach, expect, test } from 'vitest';
import { compiledFile } from '../../worker/compiled-file.js';
import { freePort, RedisServer } from './support/redis-server.js';
import { faultyEngine, ServiceProcess } from './support/service.js';
import { until } from './support/until.js';

const run = promisify(execFile);
const programs = ['api/start.js', 'api/main.js', 'worker/service/main.js'];
let redisServer: RedisServer | null = null;
afterEach(async () => {
  await redisServer?.stop();
  redisServer = null;
});

async function refusal(program: string, environment: Readonly<Record<string, string>>) {
  const env = { PATH: process.env.PATH ?? '', ...environment };
  const failure = await run(process.execPath, [fileURLToPath(compiledFile(program))], { env }).catch(
    (error) => error,
  );
  return { code: failure.code, stderr: String(failure.stderr) };
}

test.each(programs)('%s refuses to start without Redis, in one sentence', async (program) => {
  const port = await freePort();
  const { code, stderr } = await refusal(program, { REDIS_URL: `redis://:secret@127.0.0.1:${port}` });
  expect(code).toBe(2);
  expect(stderr).toMatch(
    new RegExp(`^No Redis answers at redis://127.0.0.1:${port} \\(.*ECONNREFUSED.*\\)\\. Start one`),
  );
  expect(stderr).not.toContain('secret');
  expect(stderr.trim().split('\n')).toHaveLength(1);
});

test.each(programs)('%s refuses a misspelt setting', async (program) => {
  const { code, stderr } = await refusal(program, { DECKPACE_THREAD: '2' });
  expect(code).toBe(2);
  expect(stderr).toContain('DECKPACE_THREAD: there is no such variable; did you mean DECKPACE_THREADS?');
});

test('a variable that is named like a setting and near none is warned of in the log', async () => {
  redisServer = await RedisServer.start();
  const worker = ServiceProcess.start('worker/service/main.js', {
    REDIS_URL: redisServer.url,
    DECKPACE_PORT: 'tcp://10.0.0.7:80',
  });
  await worker.says(/"level":40,.*DECKPACE_PORT is set, but there is no such variable/);
  await worker.end('SIGKILL');
});

test('all that recurs is run without a fault by a worker on an empty Redis', async () => {
  redisServer = await RedisServer.start();
  const redis = new Redis(redisServer.url);
  const worker = ServiceProcess.start('worker/service/main.js', { REDIS_URL: redisServer.url });
  const run = async (end: string) =>
    (await redis.zrange(`deckpace-queue:schedules:${end}`, '0', '-1')).map((id) => id.split(':')[1]);
  const recurring = ['assessment-lists', 'deliveries', 'repair', 'restriction-lists'];
  await until('each run once', async () => {
    const ended = [...(await run('completed')), ...(await run('failed'))];
    return recurring.every((id) => ended.includes(id));
  });
  expect(await run('failed')).toEqual([]);
  await worker.end('SIGKILL');
  redis.disconnect();
});

test.each(programs)('%s refuses a Redis that evicts keys', async (program) => {
  redisServer = await RedisServer.start('--maxmemory-policy', 'allkeys-lru');
  const { code, stderr } = await refusal(program, { REDIS_URL: redisServer.url });
  expect(code).toBe(2);
  expect(stderr).toContain('maxmemory-policy is allkeys-lru');
  expect(stderr).toContain('Set maxmemory-policy to noeviction');
});

test('a database that Redis does not have is refused: the service went on in database 0', async () => {
  redisServer = await RedisServer.start('--databases', '2');
  const { code, stderr } = await refusal('worker/service/main.js', { REDIS_URL: `${redisServer.url}/2` });
  expect(code).toBe(2);
  expect(stderr).toMatch(/^Redis at \S+ has no database 2 \(ERR DB index is out of range\)\. Name one/);
});

test('a Redis that is too old is refused', async () => {
  const about = 'redis_version:5.0.14\r\nmaxmemory_policy:noeviction\r\naof_enabled:1\r\n';
  const old = createServer((socket) => {
    socket.on('error', () => {});
    socket.on('data', (chunk) => {
      // One answer per command; all but INFO are housekeeping of the connection.
      const commands = String(chunk).split(/(?=\*\d+\r\n)/);
      for (const command of commands) {
        socket.write(/info/i.test(command) ? `$${about.length}\r\n${about}\r\n` : '+OK\r\n');
      }
    });
  }).listen(0, '127.0.0.1');
  await once(old, 'listening');
  const address = old.address();
  const port = typeof address === 'object' && address ? address.port : 0;
  const { code, stderr } = await refusal('api/main.js', { REDIS_URL: `redis://127.0.0.1:${port}` });
  expect(stderr).toContain('is 5.0.14; 6.2 or newer is needed');
  expect(code).toBe(2);
  old.close();
});

test('settings that make no sense are all named', async () => {
  const { code, stderr } = await refusal('api/main.js', { PORT: 'eighty', DECKPACE_THREADS: '0' });
  expect(code).toBe(2);
  expect(stderr).toContain('PORT');
  expect(stderr).toContain('DECKPACE_THREADS');
});

test('start brings up API and worker, says how to make the first key, and SIGTERM ends all of it', async () => {
  redisServer = await RedisServer.start();
  const started = ServiceProcess.start('api/start.js', {
    REDIS_URL: redisServer.url,
    PORT: '0',
    DECKPACE_ENGINE: faultyEngine,
  });
  const [, url = ''] = await started.says(/"url":"(http:[^"]+)"/);
  await started.says(/keys create --holder/);
  await started.says(/worker ready/);
  const ready = await until('a worker known', async () => {
    const body = (await (await fetch(`${url}/readyz`)).json()) as { workers: number };
    return body.workers === 1 && body;
  });
  expect(ready).toMatchObject({ status: 'ready', workers: 1 });
  await started.end('SIGTERM');
  expect(started.child.exitCode).toBe(0);
  await expect(fetch(`${url}/healthz`)).rejects.toThrow();
});
