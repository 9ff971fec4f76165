import { once } from 'node:events';
import type { Response } from 'express';
import { eventsAfter } from '../worker/assessments/assessment-events.js';
import { finalStates } from '../worker/assessments/assessment-record.js';
import { authenticate } from './authenticate.js';
import { Problem } from './problem.js';
import type { Services } from './services.js';

const HEARTBEAT_MILLISECONDS = 15_000;
/** A client that takes nothing for so long is given up; it may come back with Last-Event-ID. */
const STUCK_MILLISECONDS = 60_000;

/**
 * Server-sent events of an assessment until it is finished, the client goes or its key is revoked. What a slow client has not taken stays in
 * Redis, not in this process: the next events are read when the last ones are gone.
 */
export async function streamEvents(
  services: Services,
  response: Response,
  id: string,
  lastEventId: string,
): Promise<void> {
  const { redis, events, assessments, log } = services;
  response.status(200).set({
    'content-type': 'text/event-stream; charset=utf-8',
    'cache-control': 'no-store',
    'x-accel-buffering': 'no',
  });
  if (response.req.method === 'HEAD') {
    response.end();
    return;
  }
  const gone = new AbortController();
  const leave = () => gone.abort();
  response.on('close', leave);
  events.ended.addEventListener('abort', leave);
  if (events.ended.aborted) leave();
  response.flushHeaders();

  let wake = () => {};
  const stopWatch = events.watch(id, () => wake());
  gone.signal.addEventListener('abort', () => wake());
  let last = lastEventId;
  try {
    while (!gone.signal.aborted) {
      // Ends the wait of the round before, which may not have been waited for: its timer would go on beside this one's.
      wake();
      const woken = wakeOrTimeout((call) => {
        wake = call;
      });
      if (!(await keyHolds(services, response))) break;
      const found = await eventsAfter(redis, id, last);
      for (const event of found) {
        await write(response, `id: ${event.id}\nevent: ${event.type}\ndata: ${event.data}\n\n`, gone.signal);
        last = event.id;
      }
      if (found.length > 0) continue;
      const record = await assessments.record(id);
      if (record === null || finalStates.includes(record.state)) {
        // Finished between the two looks: its last event is read first.
        if ((await eventsAfter(redis, id, last)).length > 0) continue;
        break;
      }
      if ((await woken) === 'timeout') await write(response, ': heartbeat\n\n', gone.signal);
    }
    response.end();
  } catch (error) {
    // The headers are out: all that is left is to cut the stream, and the client resumes.
    if (!gone.signal.aborted) log.info({ error: String(error), id }, 'event stream cut');
    response.destroy();
  } finally {
    wake();
    stopWatch();
    events.ended.removeEventListener('abort', leave);
  }
}

/** A stream may last for hours: whoever has lost the key meanwhile sees no more of it. */
async function keyHolds(services: Services, { req }: Response): Promise<boolean> {
  try {
    await authenticate(req, services);
    return true;
  } catch (error) {
    if (error instanceof Problem) return false;
    throw error;
  }
}

function wakeOrTimeout(register: (call: () => void) => void): Promise<'woken' | 'timeout'> {
  return new Promise((resolve) => {
    const timer = setTimeout(() => resolve('timeout'), HEARTBEAT_MILLISECONDS);
    register(() => {
      clearTimeout(timer);
      resolve('woken');
    });
  });
}

async function write(response: Response, text: string, gone: AbortSignal): Promise<void> {
  if (gone.aborted || response.write(text)) return;
  await once(response, 'drain', { signal: AbortSignal.any([gone, AbortSignal.timeout(STUCK_MILLISECONDS)]) });
}
