import { UnrecoverableError } from 'bullmq';
import type { Redis } from 'ioredis';
import { readScenario } from '../../scenarios/read-scenario.js';
import type { Scenario } from '../../scenarios/scenario.js';
import type { AssessmentRecord } from '../assessments/assessment-record.js';
import type { AssessmentOutputs, AssessmentStore } from '../assessments/assessment-store.js';
import { changeState, type StateChange } from '../assessments/change-state.js';
import type { PartPool } from '../part-pool.js';
import type { Logger } from '../service/log.js';
import type { Settings } from '../service/settings.js';
import type { TaskThreads } from '../threads/task-threads.js';
import type { afterAssessments } from './after-assessments.js';
import type { EngineModule } from './engine-module.js';
import type { GatherReport, GatherTask } from './gather-thread.js';

/** What the processors of one worker process share. */
export interface WorkerContext {
  readonly redis: Redis;
  readonly settings: Settings;
  readonly log: Logger;
  readonly store: AssessmentStore;
  readonly engine: EngineModule;
  readonly engineUrl: URL;
  readonly parts: PartPool;
  /** Runs what can wait on threads that no assessment wants. */
  readonly spareParts: ReturnType<typeof afterAssessments>;
  readonly gather: TaskThreads<GatherTask, AssessmentOutputs, GatherReport>;
  /** Aborted when this worker ends and its grace period is over: what is still in hand is handed back. */
  readonly graceOver: AbortSignal;
}

/**
 * Scenario of an assessment, validated again: what lies in Redis is input too.
 *
 * @throws UnrecoverableError when it is gone or does not validate
 */
export async function loadScenario(context: WorkerContext, id: string): Promise<Scenario> {
  const bytes = await context.store.scenario(id);
  if (bytes === null) throw new UnrecoverableError(`the scenario of assessment ${id} is no longer stored`);
  const reading = readScenario(bytes);
  if (!reading.ok)
    throw new UnrecoverableError(`the stored scenario does not validate: ${reading.faults[0]?.message}`);
  return reading.scenario;
}

/** @see changeState, with the retention of this service */
export async function settle(
  context: Pick<WorkerContext, 'redis' | 'settings'>,
  id: string,
  change: Omit<StateChange, 'retentionSeconds'>,
) {
  const retentionSeconds = context.settings.DECKPACE_RETENTION_DAYS * 86_400;
  return changeState(context.redis, id, { ...change, retentionSeconds });
}

/** The record while somebody waits for the assessment; null once nobody does. */
export async function wantedRecord(
  context: Pick<WorkerContext, 'store'>,
  id: string,
): Promise<AssessmentRecord | null> {
  const record = await context.store.record(id);
  return record !== null && (record.state === 'queued' || record.state === 'running') ? record : null;
}
