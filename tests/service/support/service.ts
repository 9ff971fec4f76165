import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { fileURLToPath } from 'node:url';
import { Redis } from 'ioredis';
import { compiledFile } from '../../../worker/compiled-file.js';
import { KeyStore } from '../../../worker/keys/key-store.js';
import type { Role } from '../../../worker/keys/role.js';
import { RedisServer } from './redis-server.js';

export const faultyEngine = new URL('../engines/faulty.mjs', import.meta.url).href;

/** One program of the service in a process of its own. */
export class ServiceProcess {
  /** The last of what it has written; `written` says how many characters there were. */
  output = '';
  written = 0;
  private constructor(readonly child: ChildProcess) {
    child.stdout?.on('data', (chunk) => this.keep(chunk));
    child.stderr?.on('data', (chunk) => this.keep(chunk));
  }

  /** @param fileOf where the program is; an OtherVersion has its own */
  static start(
    program: string,
    environment: Readonly<Record<string, string>>,
    fileOf = compiledFile,
  ): ServiceProcess {
    const child = spawn(process.execPath, [fileURLToPath(fileOf(program))], {
      env: { PATH: process.env.PATH ?? '', ...environment },
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    return new ServiceProcess(child);
  }

  private keep(chunk: unknown): void {
    this.written += String(chunk).length;
    this.output = (this.output + String(chunk)).slice(-200_000);
  }

  get running(): boolean {
    return this.child.exitCode === null && this.child.signalCode === null;
  }

  /** Resolves with the match once the process has written it. */
  async says(pattern: RegExp): Promise<RegExpExecArray> {
    for (;;) {
      const found = pattern.exec(this.output);
      if (found) return found;
      if (!this.running) throw new Error(`the process ended without saying ${pattern}: ${this.output}`);
      await Promise.race([
        once(this.child.stdout!, 'data'),
        once(this.child.stderr!, 'data'),
        once(this.child, 'close'),
      ]);
    }
  }

  async end(signal: NodeJS.Signals): Promise<void> {
    if (!this.running) return;
    this.child.kill(signal);
    await this.ended();
  }

  /** Resolves once it has ended, of itself or told to. */
  async ended(): Promise<void> {
    if (this.running) await once(this.child, 'close');
  }
}

/** A Redis with an API and any number of workers in front of it. */
export class Service {
  readonly processes = new Set<ServiceProcess>();
  url = '';
  api: ServiceProcess | null = null;

  private constructor(
    readonly redisServer: RedisServer,
    readonly redis: Redis,
    readonly settings: Readonly<Record<string, string>>,
  ) {}

  static async start(settings: Readonly<Record<string, string>> = {}): Promise<Service> {
    const redisServer = await RedisServer.givenOrStarted();
    const redis = new Redis(redisServer.url, { maxRetriesPerRequest: null, retryStrategy: () => 50 });
    redis.on('error', () => {});
    const service = new Service(redisServer, redis, {
      REDIS_URL: redisServer.url,
      PORT: '0',
      DECKPACE_ENGINE: faultyEngine,
      DECKPACE_THREADS: '2',
      DECKPACE_LOCK_SECONDS: '2',
      DECKPACE_STALLED_CHECK_SECONDS: '1',
      DECKPACE_REQUESTS_PER_MINUTE: '10000000',
      ...settings,
    });
    await service.startApi();
    return service;
  }

  /** Starts the API (again) on a port of its own: a port given up may be another's by now. */
  async startApi(
    settings: Readonly<Record<string, string>> = {},
    fileOf = compiledFile,
  ): Promise<ServiceProcess> {
    const api = this.startProcess('api/main.js', settings, fileOf);
    this.api = api;
    this.url = (await api.says(/"url":"(http:[^"]+)"/))[1] ?? '';
    return api;
  }

  async startWorker(
    settings: Readonly<Record<string, string>> = {},
    fileOf = compiledFile,
  ): Promise<ServiceProcess> {
    const worker = this.startProcess('worker/service/main.js', settings, fileOf);
    await worker.says(/worker ready/);
    return worker;
  }

  private startProcess(
    program: string,
    settings: Readonly<Record<string, string>>,
    fileOf: typeof compiledFile,
  ): ServiceProcess {
    const started = ServiceProcess.start(program, { ...this.settings, ...settings }, fileOf);
    this.processes.add(started);
    return started;
  }

  /** A client with a key of its own. */
  async client(holder: string, ...roles: readonly Role[]): Promise<Client> {
    const { token } = await new KeyStore(this.redis).create(holder, roles);
    return new Client(() => this.url, token);
  }

  async stop(): Promise<void> {
    await Promise.all([...this.processes].map((one) => one.end('SIGKILL')));
    this.redis.disconnect();
    await this.redisServer.stop();
  }
}

export interface Answer {
  readonly status: number;
  readonly headers: Headers;
  // biome-ignore lint/suspicious/noExplicitAny: tests look into answers freely; the contract test holds them to their schemas
  readonly body: any;
}

export class Client {
  constructor(
    private readonly url: () => string,
    readonly token: string,
  ) {}

  fetch(method: string, path: string, init: RequestInit = {}): Promise<Response> {
    const headers = new Headers(init.headers);
    headers.set('authorization', `Bearer ${this.token}`);
    return fetch(this.url() + path, { ...init, method, headers });
  }

  async send(
    method: string,
    path: string,
    body?: unknown,
    headers: Record<string, string> = {},
  ): Promise<Answer> {
    const response = await this.fetch(
      method,
      path,
      body === undefined
        ? { headers }
        : { headers: { 'content-type': 'application/json', ...headers }, body: JSON.stringify(body) },
    );
    const text = await response.text();
    const isJson = response.headers.get('content-type')?.includes('json') ?? false;
    return { status: response.status, headers: response.headers, body: isJson ? JSON.parse(text) : text };
  }

  get(path: string): Promise<Answer> {
    return this.send('GET', path);
  }

  post(path: string, body?: unknown, headers: Record<string, string> = {}): Promise<Answer> {
    return this.send('POST', path, body, headers);
  }
}
