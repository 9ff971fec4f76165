// The engine of the other tests, where gathering the parts of a train that is called endless never ends, and that of one called gathered-hoard takes all memory.
import { gatherResult as gatherAtOnce } from './faulty.mjs';

export { planAssessment, runPart } from './faulty.mjs';

export function gatherResult(scenario, ...others) {
  if (scenario.trains.some(({ id }) => id.startsWith('endless'))) for (;;) Math.sqrt(Math.random());
  const sink = [];
  if (scenario.trains.some(({ id }) => id.startsWith('gathered-hoard')))
    for (;;) sink.push(new Array(1000).fill(Math.random()));
  return gatherAtOnce(scenario, ...others);
}
