import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import autocannon from 'autocannon';
import { Redis } from 'ioredis';
import { packageRoot } from '../../worker/compiled-file.js';
import { KeyStore } from '../../worker/keys/key-store.js';
import { RedisServer } from '../service/support/redis-server.js';
import { ServiceProcess } from '../service/support/service.js';

/**
 * `npm run bench:api`: submissions a second and the 99th percentile of their latency, of this service and of a bare Express +
 * BullMQ `queue.add`, in the same run: fresh processes, an empty Redis for each, alternating order, medians. Every
 * submission is a scenario of its own. `cold` is the first seconds of a process, in which it mostly compiles; a service runs
 * for weeks, so `warm` measures the same processes again after further load.
 */
const ROUNDS = 5;
const SECONDS = 4;
const WARM_UP_SECONDS = 8;
const CONNECTIONS = 20;

interface Measured {
  readonly perSecond: number;
  readonly p99Milliseconds: number;
}

interface ColdAndWarm {
  readonly cold: Measured;
  readonly warm: Measured;
}

const text = readFileSync(join(packageRoot(), 'scenarios/demo/ostlewater-viaduct.json'), 'utf8');
let submission = 0;
const nextBody = () => text.replace(/"title": *"/, (found) => `${found}Submission ${submission++}, `);

const redisServer = await RedisServer.start();
const redis = new Redis(redisServer.url);

async function measure(program: string): Promise<ColdAndWarm> {
  await redis.flushall();
  const { token } = await new KeyStore(redis).create('Bench', ['engineer']);
  const started = ServiceProcess.start(program, {
    REDIS_URL: redisServer.url,
    PORT: '0',
    DECKPACE_REQUESTS_PER_MINUTE: '10000000',
  });
  const [, url = ''] = await started.says(/"url":"(http:[^"]+)"/);
  const cold = await load(program, url, token, SECONDS);
  await load(program, url, token, WARM_UP_SECONDS);
  const warm = await load(program, url, token, SECONDS);
  await started.end('SIGKILL');
  return { cold, warm };
}

async function load(program: string, url: string, token: string, seconds: number): Promise<Measured> {
  const outcome = await autocannon({
    url: `${url}/v1/assessments`,
    method: 'POST',
    headers: { authorization: `Bearer ${token}`, 'content-type': 'application/json' },
    connections: CONNECTIONS,
    duration: seconds,
    setupClient: (client) => {
      client.setBody(nextBody());
      client.on('response', () => client.setBody(nextBody()));
    },
  });
  if (outcome.non2xx > 0 || outcome.errors > 0) {
    throw new Error(
      `${program}: ${outcome.non2xx} refusals, ${outcome.errors} errors; the measurement is void`,
    );
  }
  return { perSecond: outcome.requests.average, p99Milliseconds: outcome.latency.p99 };
}

const programs = { service: 'api/main.js', bare: 'tests/bench/bare-api.js' } as const;
const measured: Record<keyof typeof programs, ColdAndWarm[]> = { service: [], bare: [] };
for (let round = 0; round < ROUNDS; round += 1) {
  const order = round % 2 === 0 ? (['service', 'bare'] as const) : (['bare', 'service'] as const);
  for (const name of order) measured[name].push(await measure(programs[name]));
}
redis.disconnect();
await redisServer.stop();

const median = (values: readonly number[]) =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;
const summary = (name: keyof typeof programs, when: keyof ColdAndWarm) => ({
  submissions_per_s: Math.round(median(measured[name].map((one) => one[when].perSecond))),
  p99_ms: Math.round(median(measured[name].map((one) => one[when].p99Milliseconds))),
});
const compared = (when: keyof ColdAndWarm) => {
  const service = summary('service', when);
  const bare = summary('bare', when);
  return {
    service,
    bare,
    times_slower: Number((bare.submissions_per_s / service.submissions_per_s).toFixed(2)),
    p99_ratio: Number((service.p99_ms / bare.p99_ms).toFixed(2)),
  };
};
process.stdout.write(
  `${JSON.stringify(
    {
      body_bytes: Buffer.byteLength(text),
      connections: CONNECTIONS,
      warm: compared('warm'),
      cold: compared('cold'),
    },
    null,
    2,
  )}\n`,
);
