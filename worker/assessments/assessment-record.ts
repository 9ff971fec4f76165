import { z } from 'zod';

export const assessmentState = z.enum(['queued', 'running', 'completed', 'failed', 'cancelled']);
export type AssessmentState = z.infer<typeof assessmentState>;

/** States that an assessment never leaves. */
export const finalStates: readonly AssessmentState[] = ['completed', 'failed', 'cancelled'];

/** What is urgent overtakes what is not: after an event the operator waits. */
export const priority = z.enum(['post-event', 'ordinary', 'nightly']);
export type Priority = z.infer<typeof priority>;

const time = z.iso.datetime();

/** What is known of a submitted assessment, apart from its scenario and its outputs. */
export const assessmentRecord = z.strictObject({
  id: z.string(),
  state: assessmentState,
  title: z.string(),
  scenario_sha256: z.string(),
  engine: z.string(),
  priority,
  submitted_by: z.string(),
  submitted_at: time,
  started_at: time.nullable(),
  finished_at: time.nullable(),
  /** Why it failed or who cancelled it. */
  reason: z.string().nullable(),
});
export type AssessmentRecord = Readonly<z.infer<typeof assessmentRecord>>;

/** A record from the fields of its hash; null when there are none. */
export function recordFromFields(fields: Readonly<Record<string, string>>): AssessmentRecord | null {
  if (fields.id === undefined) return null;
  const { pinned: _, ...rest } = fields;
  return assessmentRecord.parse({ started_at: null, finished_at: null, reason: null, ...rest });
}

/** How far one part is. */
export const partProgress = z.strictObject({
  damage_case: z.string(),
  trains: z.array(z.string()),
  /** `stopped`: the assessment has failed or was cancelled before this part was completed. */
  state: z.enum(['waiting', 'running', 'completed', 'stopped']),
  /** 0 to 1. */
  fraction: z.number(),
});
export type PartProgressRecord = Readonly<z.infer<typeof partProgress>>;
