import { z } from 'zod';
import { result } from '../../scenarios/result.js';
import { eventsAfter } from '../../worker/assessments/assessment-events.js';
import type { OutputName } from '../../worker/assessments/assessment-keys.js';
import { finalStates } from '../../worker/assessments/assessment-record.js';
import { streamEvents } from '../event-stream.js';
import { Problem } from '../problem.js';
import { none, type Reply, route } from '../route.js';
import type { Services } from '../services.js';
import { assessmentOrProblem, assessmentParams } from './assessments.js';

const readers = ['engineer', 'approver', 'ci'] as const;

/** Nothing but what the page itself carries. */
export const pageSecurityPolicy =
  "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/** @throws Problem (404, 409) when there is no such output */
export async function outputReply(
  services: Services,
  id: string,
  name: OutputName,
  contentType: string,
  headers: Readonly<Record<string, string>> = {},
): Promise<Reply> {
  const { state, reason } = await assessmentOrProblem(services, id);
  // One that was cancelled, or failed, while it was gathered may have outputs; they are nobody's result.
  const gzip = state === 'completed' ? await services.assessments.output(id, name) : null;
  if (gzip !== null) return { status: 200, gzip, contentType, headers };
  throw new Problem(
    'wrong-state',
    `Assessment ${id} is ${state}${reason === null ? '' : ` (${reason})`}; it has no ${name}.`,
  );
}

const resultRoute = route({
  method: 'get',
  path: '/v1/assessments/{id}/result',
  operation: 'readResult',
  summary: 'The result file.',
  access: readers,
  params: assessmentParams,
  query: none,
  body: none,
  replies: { 200: { description: 'Result', schema: result } },
  handle: ({ params }, services) =>
    outputReply(services, params.id, 'result', 'application/json; charset=utf-8'),
});

const report = route({
  method: 'get',
  path: '/v1/assessments/{id}/report',
  operation: 'readReport',
  summary: 'The report, one page of HTML that needs nothing else.',
  access: readers,
  params: assessmentParams,
  query: none,
  body: none,
  replies: { 200: { description: 'Report', contentType: 'text/html' } },
  handle: ({ params }, services) =>
    outputReply(services, params.id, 'report', 'text/html; charset=utf-8', {
      'content-security-policy': pageSecurityPolicy,
    }),
});

const sweeps = route({
  method: 'get',
  path: '/v1/assessments/{id}/sweeps.csv',
  operation: 'readSweeps',
  summary: 'The speed sweeps as a table.',
  access: readers,
  params: assessmentParams,
  query: none,
  body: none,
  replies: { 200: { description: 'Sweeps', contentType: 'text/csv' } },
  handle: ({ params }, services) => outputReply(services, params.id, 'sweeps', 'text/csv; charset=utf-8'),
});

const events = route({
  method: 'get',
  path: '/v1/assessments/{id}/events',
  operation: 'followAssessment',
  summary:
    'Server-sent events: progress and state. Resumes after Last-Event-ID; 204 when there is nothing more to come.',
  access: readers,
  params: assessmentParams,
  query: none,
  body: none,
  replies: {
    200: { description: 'Events until the assessment is finished', contentType: 'text/event-stream' },
    204: { description: 'Finished, and the last event was seen' },
  },
  handle: async ({ params, express }, services) => {
    const record = await assessmentOrProblem(services, params.id);
    const lastEventId = lastSeen(express.request.get('last-event-id'));
    if (lastEventId !== '0' && finalStates.includes(record.state)) {
      if ((await eventsAfter(services.redis, params.id, lastEventId)).length === 0) return { status: 204 };
    }
    await streamEvents(services, express.response, params.id, lastEventId);
    return { streamed: true };
  },
});

const eventId = z.string().regex(/^\d{1,16}-\d{1,10}$/);

function lastSeen(header: string | undefined): string {
  if (header === undefined) return '0';
  if (eventId.safeParse(header).success) return header;
  throw new Problem('malformed-request', 'Last-Event-ID is not an id of this stream.');
}

export const assessmentOutputRoutes = [resultRoute, report, sweeps, events];
