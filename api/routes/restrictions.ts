import { z } from 'zod';
import { result } from '../../scenarios/result.js';
import { pinAssessment } from '../../worker/assessments/pin-assessment.js';
import type { ApiKey } from '../../worker/keys/key-store.js';
import { draftTerms } from '../../worker/restrictions/draft-terms.js';
import { listRestrictions } from '../../worker/restrictions/list-restrictions.js';
import { type Restriction, restriction, restrictionState } from '../../worker/restrictions/restriction.js';
import { type Actor, restrictionEvent } from '../../worker/restrictions/restriction-event.js';
import { decodeCursor, encodeCursor, nextLink, pageQuery } from '../cursor.js';
import { Problem } from '../problem.js';
import { none, type Reply, route } from '../route.js';
import { outputReply, pageSecurityPolicy } from './assessment-outputs.js';
import { assessmentOrProblem } from './assessments.js';

const readers = ['engineer', 'approver', 'operator', 'ci'] as const;
const restrictionParams = z.strictObject({ id: z.string().regex(/^r[a-f0-9]{16}$/) });
const text = z.string().trim().min(3).max(2000);
const speed = z.number().positive().max(1000);
const chainage = z.number().min(-100_000).max(100_000);
const cursor = z.strictObject({ milliseconds: z.number(), id: z.string(), everInForce: z.int().min(0) });

const draftBody = z.strictObject({
  assessment: z.string().max(100),
  damage_case: z.string().max(200),
  class: z.string().max(200),
  /** Absent: as recommended. Null: a closure. Never higher than recommended. */
  permitted_speed_kmh: speed.nullable().optional(),
  /** Needed where it is lower than recommended. */
  lowered_because: text.optional(),
  /** Needed where the scenario gives no chainage. */
  from_chainage_km: chainage.optional(),
  to_chainage_km: chainage.optional(),
  /** Restriction in force that this one is to take the place of. */
  supersedes: restrictionParams.shape.id.optional(),
});

function actor({ holder, id }: ApiKey): Actor {
  return { holder, key: id };
}

const draft = route({
  method: 'post',
  path: '/v1/restrictions',
  operation: 'draftRestriction',
  summary:
    'Draft a restriction from a finished assessment. It is not in force before somebody else approves it.',
  access: ['engineer'],
  params: none,
  query: none,
  body: draftBody,
  idempotency: 'reply',
  replies: { 201: { description: 'Drafted', schema: restriction } },
  handle: async ({ body, key, mark }, services) => {
    const { redis, assessments, restrictions } = services;
    const id = mark === null ? undefined : `r${mark}`;
    // Drafted before, by a request that came to no answer.
    const before = id === undefined ? null : await restrictions.find(id);
    if (before !== null) return draftedReply(before);
    const record = await assessmentOrProblem(services, body.assessment);
    if (record.state !== 'completed') {
      throw new Problem(
        'wrong-state',
        `Assessment ${record.id} is ${record.state}; a restriction needs a finished one.`,
      );
    }
    const stored = await assessments.outputText(record.id, 'result');
    const gone = () => new Problem('not-found', `The result of assessment ${record.id} is no longer kept.`);
    if (stored === null) throw gone();
    const predecessor = body.supersedes === undefined ? null : await restrictions.read(body.supersedes);
    const terms = draftTerms(result.parse(JSON.parse(stored)), body, predecessor);
    // Kept before the draft rests on it: afterwards it might expire in between.
    if (!(await pinAssessment(redis, record.id))) throw gone();
    return draftedReply(await restrictions.draft(terms, actor(key), id));
  },
});

function draftedReply(drafted: Restriction): Reply {
  return { status: 201, headers: { location: `/v1/restrictions/${drafted.id}` }, json: drafted };
}

const list = route({
  method: 'get',
  path: '/v1/restrictions',
  operation: 'listRestrictions',
  summary: 'Restrictions, newest first; state=in-force for those that trains must obey now.',
  access: readers,
  params: none,
  query: z.strictObject({ ...pageQuery, state: restrictionState.optional() }),
  body: none,
  replies: {
    200: {
      description: 'One page',
      schema: z.strictObject({ items: z.array(restriction), next: z.string().nullable() }),
    },
  },
  handle: async ({ query }, { redis }) => {
    const page = await listRestrictions(redis, {
      state: query.state ?? null,
      after: decodeCursor(query.cursor, cursor),
      limit: query.limit,
    });
    const next = page.next === null ? null : encodeCursor(page.next);
    const link = { state: query.state, limit: String(query.limit), cursor: next ?? undefined };
    return {
      status: 200,
      headers: next === null ? {} : { link: nextLink('/v1/restrictions', link) },
      json: { items: page.items, next },
    };
  },
});

const read = route({
  method: 'get',
  path: '/v1/restrictions/{id}',
  operation: 'readRestriction',
  summary: 'One restriction as its history leaves it.',
  access: readers,
  params: restrictionParams,
  query: none,
  body: none,
  replies: { 200: { description: 'The restriction', schema: restriction } },
  handle: async ({ params }, { restrictions }) => ({ status: 200, json: await restrictions.read(params.id) }),
});

const history = route({
  method: 'get',
  path: '/v1/restrictions/{id}/history',
  operation: 'readRestrictionHistory',
  summary: 'Every change: who, when, why. Entries are linked by hash.',
  access: readers,
  params: restrictionParams,
  query: none,
  body: none,
  replies: {
    200: { description: 'Oldest first', schema: z.strictObject({ items: z.array(restrictionEvent) }) },
  },
  handle: async ({ params }, { restrictions }) => ({
    status: 200,
    json: { items: await restrictions.history(params.id) },
  }),
});

const report = route({
  method: 'get',
  path: '/v1/restrictions/{id}/report',
  operation: 'readRestrictionReport',
  summary: 'The report of the assessment that the restriction rests on.',
  access: readers,
  params: restrictionParams,
  query: none,
  body: none,
  replies: { 200: { description: 'Report', contentType: 'text/html' } },
  handle: async ({ params }, services) => {
    const { assessment } = await services.restrictions.read(params.id);
    return outputReply(services, assessment, 'report', 'text/html; charset=utf-8', {
      'content-security-policy': pageSecurityPolicy,
    });
  },
});

const approve = route({
  method: 'post',
  path: '/v1/restrictions/{id}/approval',
  operation: 'approveRestriction',
  summary: 'Put a draft in force. Only somebody other than its author may.',
  access: ['approver'],
  params: restrictionParams,
  query: none,
  body: z.strictObject({ reason: text.optional() }),
  idempotency: 'reply',
  replies: { 200: { description: 'In force', schema: restriction } },
  handle: async ({ params, body, key }, { restrictions }) => ({
    status: 200,
    json: await restrictions.approve(params.id, actor(key), body.reason ?? null),
  }),
});

const withdraw = route({
  method: 'post',
  path: '/v1/restrictions/{id}/withdrawal',
  operation: 'withdrawRestriction',
  summary: 'Withdraw, with a reason: a restriction in force by an approver, a draft also by its author.',
  access: ['engineer', 'approver'],
  params: restrictionParams,
  query: none,
  body: z.strictObject({ reason: text }),
  idempotency: 'reply',
  replies: { 200: { description: 'Withdrawn', schema: restriction } },
  handle: async ({ params, body, key }, { restrictions }) => ({
    status: 200,
    json: await restrictions.withdraw(params.id, actor(key), key.roles.includes('approver'), body.reason),
  }),
});

export const restrictionRoutes = [draft, list, read, history, report, approve, withdraw];
