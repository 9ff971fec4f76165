import { once } from 'node:events';
import { Agent, get } from 'node:http';
import { connect, type Socket } from 'node:net';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { scenarioOf } from './support/scenario.js';
import { type Client, Service } from './support/service.js';
import { until } from './support/until.js';

let service: Service;
let engineer: Client;
beforeEach(async () => {
  // Longer than a test may take: nothing here is ended by the grace period.
  service = await Service.start({ DECKPACE_GRACE_SECONDS: '100', DECKPACE_REQUEST_SECONDS: '90' });
  engineer = await service.client('E. Engineer', 'engineer');
});
afterEach(() => service.stop());

/** A raw connection to the API, and what has arrived on it. */
class Connection {
  text = '';
  closed = false;
  private constructor(readonly socket: Socket) {
    socket.on('data', (chunk) => {
      this.text += chunk;
    });
    socket.on('error', () => {});
    socket.on('close', () => {
      this.closed = true;
    });
  }

  static async open(): Promise<Connection> {
    const socket = connect(Number(new URL(service.url).port), '127.0.0.1');
    await once(socket, 'connect');
    return new Connection(socket);
  }

  /** All of a request but its last line end. */
  begin(...lines: readonly string[]): void {
    const head = [...lines, 'Host: deckpace', `Authorization: Bearer ${engineer.token}`];
    this.socket.write(`${head.join('\r\n')}\r\n`);
  }

  finish(rest = ''): void {
    this.socket.write(`\r\n${rest}`);
  }

  arrives(what: RegExp): Promise<boolean> {
    return until(`${what} in "${this.text}"`, () => what.test(this.text));
  }
}

test('an API told to end answers what is under way, once more on every open connection, and ends as soon as that is done', async () => {
  const api = service.api!;
  const body = JSON.stringify(scenarioOf('Under way', 'calm'));
  const { body: waiting } = await engineer.post('/v1/assessments', scenarioOf('Waits for a worker', 'calm'));

  const stream = await Connection.open();
  stream.begin(`GET /v1/assessments/${waiting.id}/events HTTP/1.1`);
  stream.finish();
  await stream.arrives(/event: state/);
  const submitting = await Connection.open();
  submitting.begin(
    'POST /v1/assessments HTTP/1.1',
    'Content-Type: application/json',
    `Content-Length: ${body.length}`,
    'Expect: 100-continue',
  );
  submitting.finish();
  await submitting.arrives(/^HTTP\/1\.1 100 /);
  const kept = await Promise.all(Array.from({ length: 3 }, () => Connection.open()));
  const paths = ['/readyz', '/healthz', `/v1/assessments/${waiting.id}/events`];
  for (const [index, connection] of kept.entries()) connection.begin(`GET ${paths[index]} HTTP/1.1`);
  const idle = await Connection.open();
  idle.begin('GET /healthz HTTP/1.1');
  idle.finish();
  await idle.arrives(/alive/);
  // Answered on another connection: what was written to those before has been read by now.
  expect((await engineer.get('/v1/assessments')).status).toBe(200);

  const told = performance.now();
  const ended = api.end('SIGTERM');
  await api.says(/"msg":"ending"/);
  await until('the idle connection closed', () => idle.closed);
  expect(api.running).toBe(true);
  submitting.socket.write(body);
  for (const connection of kept) connection.finish();
  await ended;
  expect(api.child.exitCode).toBe(0);
  // Sooner than connections are closed that nobody uses: that of the stream is open, and its client leaves it so.
  expect(performance.now() - told).toBeLessThan(8000);
  expect(submitting.text).toMatch(/\r\nHTTP\/1\.1 202 .*\r\nconnection: close\r\n/is);
  expect(kept[0]!.text).toMatch(/^HTTP\/1\.1 503 .*\r\nconnection: close\r\n.*This process is ending/is);
  expect(kept[1]!.text).toMatch(/^HTTP\/1\.1 200 .*\r\nconnection: close\r\n.*alive/is);
  expect(kept[2]!.text).toMatch(/^HTTP\/1\.1 200 .*\r\nconnection: close\r\n.*\r\n0\r\n\r\n$/is);
  expect(stream.text).toMatch(/event: state.*\r\n0\r\n\r\n$/s);
});

test('a connection that has sent nothing does not keep an API from ending', async () => {
  const api = service.api!;
  const silent = await Connection.open();
  expect((await engineer.get('/v1/assessments')).status).toBe(200);
  await api.end('SIGTERM');
  expect(api.child.exitCode).toBe(0);
  await until('closed', () => silent.closed);
});

/** One request, answered to its end, on the one connection that the agent keeps. */
async function ask(agent: Agent): Promise<void> {
  const headers = { authorization: `Bearer ${engineer.token}` };
  const [answer] = await once(get(`${service.url}/v1/assessments`, { agent, headers }), 'response');
  answer.resume();
  await once(answer, 'end');
}

test('clients that ask without a pause on kept connections do not keep an API from ending', async () => {
  const api = service.api!;
  const answered = { before: 0, after: 0 };
  let told = false;
  // Answered after a look into Redis: some requests are under way when the API is told.
  const clients = Array.from({ length: 20 }, async () => {
    const agent = new Agent({ keepAlive: true, maxSockets: 1 });
    try {
      for (;;) {
        await ask(agent);
        answered[told ? 'after' : 'before'] += 1;
      }
    } catch (error) {
      return error;
    }
  });
  await until('all of them answered', () => answered.before > 100);
  const ended = api.end('SIGTERM');
  await api.says(/"msg":"ending"/);
  told = true;
  await ended;
  expect(api.child.exitCode).toBe(0);
  await Promise.all(clients);
  // On each connection one that was under way and one more.
  expect(answered.after).toBeLessThanOrEqual(40);
});
