import { EventEmitter, setMaxListeners } from 'node:events';
import type { Redis } from 'ioredis';
import { assessmentKeys } from '../worker/assessments/assessment-keys.js';
import { keepAsking } from '../worker/service/redis.js';

/** Wakes event streams when their assessment has something new: one Redis connection, however many clients. */
export class EventHub {
  private readonly emitter = new EventEmitter().setMaxListeners(0);

  private readonly ending = new AbortController();

  private stopAsking = () => {};

  constructor(private readonly subscriber: Redis) {
    setMaxListeners(0, this.ending.signal);
    subscriber.on('message', (_channel, id: string) => this.emitter.emit(id));
  }

  async start(): Promise<void> {
    await this.subscriber.subscribe(assessmentKeys.changed);
    this.stopAsking = keepAsking(this.subscriber);
  }

  get ended(): AbortSignal {
    return this.ending.signal;
  }

  /** @returns ends the watch */
  watch(id: string, wake: () => void): () => void {
    this.emitter.on(id, wake);
    return () => this.emitter.off(id, wake);
  }

  /** Ends every stream, because the process ends: their clients resume elsewhere. */
  end(): void {
    this.ending.abort();
  }

  close(): void {
    this.stopAsking();
    this.subscriber.disconnect();
  }
}
