import type { Fault } from '../scenarios/fault.js';
import { readScenario } from '../scenarios/read-scenario.js';

/** What a submission needs to know of its scenario. */
export type SubmittedScenario =
  | { readonly ok: true; readonly title: string; readonly sha256: string }
  | { readonly ok: false; readonly faults: readonly Fault[] };

/** Reads a scenario that was sent; also the entry of the thread that reads the large ones. */
export default function submittedScenario(bytes: Uint8Array): SubmittedScenario {
  const reading = readScenario(bytes);
  return reading.ok ? { ok: true, title: reading.scenario.title, sha256: reading.sha256 } : reading;
}
