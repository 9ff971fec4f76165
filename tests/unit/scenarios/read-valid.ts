import { readScenario } from '../../../scenarios/read-scenario.js';
import type { Scenario } from '../../../scenarios/scenario.js';

/** Reads a document that has to be valid; throws with every fault otherwise. */
export function readValid(document: unknown): Scenario {
  const reading = readScenario(typeof document === 'string' ? document : JSON.stringify(document));
  if (reading.ok) return reading.scenario;
  throw new Error(reading.faults.map((one) => one.message).join('\n'));
}
