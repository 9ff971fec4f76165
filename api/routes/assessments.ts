import { z } from 'zod';
import {
  type AssessmentRecord,
  assessmentRecord,
  assessmentState,
  finalStates,
  partProgress,
  priority,
} from '../../worker/assessments/assessment-record.js';
import { changeState } from '../../worker/assessments/change-state.js';
import { listAssessments } from '../../worker/assessments/list-assessments.js';
import { submitAssessment } from '../../worker/assessments/submit-assessment.js';
import { enqueueAssessment } from '../../worker/queue/assessment-queue.js';
import { raisePriority } from '../../worker/queue/raise-priority.js';
import { decodeCursor, encodeCursor, nextLink, pageQuery } from '../cursor.js';
import { Problem } from '../problem.js';
import { none, route } from '../route.js';
import type { Services } from '../services.js';

const links = z.strictObject({
  self: z.string(),
  events: z.string(),
  result: z.string().optional(),
  report: z.string().optional(),
  sweeps: z.string().optional(),
});

/** An assessment as clients see it. */
export const assessmentView = assessmentRecord.extend({ links });
const assessmentDetail = assessmentView.extend({
  /** 0 to 1, over all parts. */
  progress: z.number(),
  parts: z.array(partProgress),
});
const accepted = assessmentView.extend({
  /** False: this scenario was submitted before, and this is that assessment. */
  created: z.boolean(),
});

export const assessmentParams = z.strictObject({ id: z.string().regex(/^a[a-z0-9-]{1,60}$/) });
const cursor = z.strictObject({ milliseconds: z.number(), id: z.string() });

function view(record: AssessmentRecord): z.infer<typeof assessmentView> {
  const self = `/v1/assessments/${record.id}`;
  return {
    ...record,
    links: {
      self,
      events: `${self}/events`,
      ...(record.state === 'completed'
        ? { result: `${self}/result`, report: `${self}/report`, sweeps: `${self}/sweeps.csv` }
        : {}),
    },
  };
}

/** @throws Problem (404) */
export async function assessmentOrProblem({ assessments }: Services, id: string): Promise<AssessmentRecord> {
  const record = await assessments.record(id);
  if (record === null)
    throw new Problem('not-found', `There is no assessment ${id}, or it is no longer kept.`);
  return record;
}

const submit = route({
  method: 'post',
  path: '/v1/assessments',
  operation: 'submitAssessment',
  summary:
    'Submit a scenario. The same scenario and engine version is assessed once, unless asked to run again.',
  access: ['engineer', 'ci'],
  params: none,
  query: z.strictObject({
    priority: priority.default('ordinary'),
    rerun: z.enum(['true', 'false']).default('false'),
  }),
  body: none,
  takesScenario: true,
  idempotency: 'own',
  replies: { 202: { description: 'Accepted, or known already', schema: accepted } },
  handle: async ({ query, bytes, key, idempotencyKey }, services) => {
    const { redis, engine, assessmentQueue, metrics } = services;
    const reading = await services.scenarios.read(bytes);
    if (!reading.ok) {
      const faults = reading.faults;
      const unreadable = faults.some(({ code }) => code === 'not-json' || code === 'not-utf8');
      throw new Problem(
        unreadable ? 'malformed-body' : 'invalid-scenario',
        `${faults.length} fault${faults.length === 1 ? '' : 's'}; nothing was run.`,
        { faults },
      );
    }
    const { outcome, record: known } = await submitAssessment(redis, {
      scenario: bytes,
      scenarioSha256: reading.sha256,
      title: reading.title,
      engine,
      priority: query.priority,
      submittedBy: key.holder,
      keyId: key.id,
      again: query.rerun === 'true',
      idempotencyKey,
    });
    metrics.submissions.inc({ outcome });
    if (outcome === 'mismatch') {
      throw new Problem('idempotency-mismatch', 'Another request was made under this Idempotency-Key.');
    }
    if (known === null)
      throw new Problem('not-found', 'The assessment of this Idempotency-Key is no longer kept.');
    const queues = { assessments: assessmentQueue, parts: services.partQueue };
    // A repetition too: the first may have ended before it had raised anything.
    const record =
      outcome === 'created'
        ? known
        : await raisePriority(
            redis,
            queues,
            known,
            query.priority,
            async () => (await services.assessments.plannedParts(known.id))?.length ?? 0,
          );
    // Also for a known one: whoever accepted it may have died before it came into the queue.
    if (record.state === 'queued') await enqueueAssessment(assessmentQueue, record.id, record.priority);
    return {
      status: 202,
      headers: {
        location: `/v1/assessments/${record.id}`,
        ...(outcome === 'replayed' ? { 'idempotency-replayed': 'true' } : {}),
      },
      json: { ...view(record), created: outcome === 'created' },
    };
  },
});

const list = route({
  method: 'get',
  path: '/v1/assessments',
  operation: 'listAssessments',
  summary: 'Assessments, newest first.',
  access: ['engineer', 'approver', 'ci'],
  params: none,
  query: z.strictObject({ ...pageQuery, state: assessmentState.optional() }),
  body: none,
  replies: {
    200: {
      description: 'One page',
      schema: z.strictObject({ items: z.array(assessmentView), next: z.string().nullable() }),
    },
  },
  handle: async ({ query }, { assessments }) => {
    const { items, next } = await listAssessments(assessments, {
      state: query.state ?? null,
      after: decodeCursor(query.cursor, cursor),
      limit: query.limit,
    });
    const link =
      next === null
        ? null
        : nextLink('/v1/assessments', {
            state: query.state,
            limit: String(query.limit),
            cursor: encodeCursor(next),
          });
    return {
      status: 200,
      headers: link === null ? {} : { link },
      json: { items: items.map(view), next: next === null ? null : encodeCursor(next) },
    };
  },
});

const read = route({
  method: 'get',
  path: '/v1/assessments/{id}',
  operation: 'readAssessment',
  summary: 'State, progress by part, links.',
  access: ['engineer', 'approver', 'ci'],
  params: assessmentParams,
  query: none,
  body: none,
  replies: { 200: { description: 'The assessment', schema: assessmentDetail } },
  handle: async ({ params }, services) => {
    const record = await assessmentOrProblem(services, params.id);
    const parts = [...(await services.assessments.progress(record))];
    const sum = parts.reduce((total, part) => total + part.fraction, 0);
    const progress = record.state === 'completed' ? 1 : parts.length === 0 ? 0 : sum / parts.length;
    return { status: 200, json: { ...view(record), progress, parts } };
  },
});

const cancel = route({
  method: 'delete',
  path: '/v1/assessments/{id}',
  operation: 'cancelAssessment',
  summary: 'Cancel. Running parts end within two seconds. Cancelling twice is the same as once.',
  access: ['engineer', 'ci'],
  params: assessmentParams,
  query: none,
  body: none,
  replies: { 202: { description: 'Cancelled', schema: assessmentView } },
  handle: async ({ params, key }, services) => {
    const before = await assessmentOrProblem(services, params.id);
    if (!finalStates.includes(before.state)) {
      await changeState(services.redis, params.id, {
        to: 'cancelled',
        reason: `cancelled by ${key.holder}`,
        retentionSeconds: services.settings.DECKPACE_RETENTION_DAYS * 86_400,
      });
    }
    const record = await assessmentOrProblem(services, params.id);
    if (record.state !== 'cancelled') {
      throw new Problem(
        'wrong-state',
        `Assessment ${params.id} is ${record.state}; there is nothing to cancel.`,
      );
    }
    return { status: 202, json: view(record) };
  },
});

export const assessmentRoutes = [submit, list, read, cancel];
