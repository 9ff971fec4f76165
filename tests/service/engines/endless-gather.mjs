// The engine of the other tests, where gathering the parts of a train that is called endless never ends.
import { gatherResult as gatherAtOnce } from './faulty.mjs';

export { planAssessment, runPart } from './faulty.mjs';

export function gatherResult(scenario, ...others) {
  if (scenario.trains.some(({ id }) => id.startsWith('endless'))) for (;;) Math.sqrt(Math.random());
  return gatherAtOnce(scenario, ...others);
}
