import { expect } from 'vitest';
import { eventsAfter } from '../../../worker/assessments/assessment-events.js';
import { scenarioOf } from './scenario.js';
import { type Client, Service } from './service.js';
import { until } from './until.js';

const isFinal = (state: string) => ['completed', 'failed', 'cancelled'].includes(state);

/** Assessments of a service, as an engineer submits and follows them, and as its records tell of them. */
export class AssessmentRuns {
  constructor(
    readonly service: Service,
    readonly engineer: Client,
  ) {}

  /** Those of a service of their own. */
  static async start(settings: Readonly<Record<string, string>> = {}): Promise<AssessmentRuns> {
    const service = await Service.start(settings);
    return new AssessmentRuns(service, await service.client('E. Engineer', 'engineer'));
  }

  /** @returns the id of an assessment of these trains */
  async submit(...trains: readonly string[]): Promise<string> {
    const { status, body } = await this.engineer.post(
      '/v1/assessments',
      scenarioOf(`Trains ${trains.join(' ')}`, ...trains),
    );
    expect(status).toBe(202);
    return body.id;
  }

  async stateOf(id: string): Promise<string> {
    return (await this.engineer.get(`/v1/assessments/${id}`)).body.state;
  }

  /** Waits for a final state. */
  finished(id: string, seconds = 60): Promise<string> {
    return until(
      `assessment ${id} finished`,
      async () => {
        const state = await this.stateOf(id);
        return isFinal(state) && state;
      },
      seconds,
    );
  }

  /** How often the assessment's own record says that it reached a final state. */
  async timesFinished(id: string): Promise<number> {
    const events = await eventsAfter(this.service.redis, id, '0');
    return events.filter(({ type, data }) => type === 'state' && isFinal(JSON.parse(data).state)).length;
  }

  /** Parts that threads have begun to compute so far, repetitions included. */
  async partsBegun(ids: readonly string[]): Promise<number> {
    const events = await Promise.all(ids.map((id) => eventsAfter(this.service.redis, id, '0')));
    return events.flat().filter(({ type, data }) => type === 'progress' && JSON.parse(data).fraction === 0)
      .length;
  }

  /** Waits until a part of the assessment is under way. */
  partRuns(id: string) {
    return until('a part running', async () => {
      const { body } = await this.engineer.get(`/v1/assessments/${id}`);
      return body.parts.some((part: { state: string }) => part.state === 'running');
    });
  }
}
