// The project's own engine, but for its frequencies: what a nightly regression has to notice.
import { gatherResult, planAssessment, runPart as runUnchanged } from '../../../dist/worker/engine.js';

export { gatherResult, planAssessment };

export function runPart(scenario, part, options) {
  const result = runUnchanged(scenario, part, options);
  const { damageCase } = result;
  const frequencies_Hz = damageCase.frequencies_Hz.map((frequency) => 1.01 * frequency);
  return { ...result, damageCase: { ...damageCase, frequencies_Hz } };
}
