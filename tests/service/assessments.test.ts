import { afterAll, beforeAll, expect, test } from 'vitest';
import { AssessmentRuns } from './support/assessment-runs.js';
import { scenarioOf } from './support/scenario.js';
import type { Client, Service } from './support/service.js';

let service: Service;
let engineer: Client;
let operator: Client;
let runs: AssessmentRuns;

beforeAll(async () => {
  runs = await AssessmentRuns.start();
  ({ service, engineer } = runs);
  await service.startWorker();
  operator = await service.client('O. Operator', 'operator');
});
afterAll(() => service.stop());

test('a submitted scenario is assessed and its outputs can be read', async () => {
  const submitted = await engineer.post('/v1/assessments', scenarioOf('Outputs', 'calm', 'busy-100'));
  expect(submitted.status).toBe(202);
  expect(submitted.headers.get('location')).toBe(`/v1/assessments/${submitted.body.id}`);
  expect(await runs.finished(submitted.body.id)).toBe('completed');
  const { body } = await engineer.get(submitted.body.links.self);
  expect(body.parts).toMatchObject([
    { damage_case: 'intact', trains: ['calm'], state: 'completed', fraction: 1 },
    { damage_case: 'intact', trains: ['busy-100'], state: 'completed', fraction: 1 },
  ]);
  const result = await engineer.get(body.links.result);
  expect(result.body.cases[0].trains.map((train: { train: string }) => train.train)).toEqual([
    'calm',
    'busy-100',
  ]);
  expect((await engineer.get(body.links.report)).body).toContain('<!doctype html>');
  expect((await engineer.get(body.links.sweeps)).headers.get('content-type')).toContain('text/csv');
});

test('the same scenario again is the same assessment, unless asked to run again', async () => {
  const scenario = scenarioOf('Twice', 'calm');
  const first = await engineer.post('/v1/assessments', scenario);
  const second = await engineer.post('/v1/assessments', scenario);
  expect(second.body).toMatchObject({ id: first.body.id, created: false });
  await runs.finished(first.body.id);
  const again = await engineer.post('/v1/assessments?rerun=true', scenario);
  expect(again.body.created).toBe(true);
  expect(again.body.id).not.toBe(first.body.id);
  expect(await runs.finished(again.body.id)).toBe('completed');
});

test('a run that was cancelled does not hide the result of the one before', async () => {
  const scenario = scenarioOf('Cancelled again', 'busy-1000');
  const first = await engineer.post('/v1/assessments', scenario);
  expect(await runs.finished(first.body.id)).toBe('completed');
  const again = await engineer.post('/v1/assessments?rerun=true', scenario);
  const cancelled = await engineer.send('DELETE', again.body.links.self);
  expect(cancelled.body.state).toBe('cancelled');
  const third = await engineer.post('/v1/assessments', scenario);
  expect(third.body).toMatchObject({ id: first.body.id, created: false, state: 'completed' });
});

test('of an assessment that failed or was cancelled no part is said to run or to wait', async () => {
  const failed = await runs.submit('throw', 'calm-beside');
  expect(await runs.finished(failed)).toBe('failed');
  const cancelled = await runs.submit('loop-1', 'loop-2', 'loop-3');
  await runs.partRuns(cancelled);
  await engineer.send('DELETE', `/v1/assessments/${cancelled}`);
  for (const [id, state] of [
    [failed, 'failed'],
    [cancelled, 'cancelled'],
  ]) {
    const { body } = await engineer.get(`/v1/assessments/${id}`);
    const ended = body.parts.map((part: { state: string }) => part.state === 'completed' || part.state);
    expect([body.state, ...new Set(ended.filter((one: unknown) => one !== true))]).toEqual([
      state,
      'stopped',
    ]);
  }
});

test('an operator may not submit', async () => {
  const answer = await operator.post('/v1/assessments', scenarioOf('Not theirs', 'calm'));
  expect(answer.status).toBe(403);
  expect(answer.headers.get('content-type')).toContain('application/problem+json');
});
