import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { readScenario } from '../../scenarios/read-scenario.js';
import { packageRoot } from '../../worker/compiled-file.js';
import { planAssessment, runPart } from '../../worker/engine.js';
import type { Workload } from './workload.js';

/** The intact case of the demo with its HSLM train: model, tables, both directions, refined sweep, checks; one thread. */
export const oneTrainDemo: Workload = {
  id: 'W2-demo',
  title: 'demo, intact, HSLM train: refined sweep with track and fastening forces',
  run() {
    const file = join(packageRoot(), 'scenarios/demo/ostlewater-viaduct.json');
    const reading = readScenario(readFileSync(file));
    if (!reading.ok) throw new Error(`${file} is not a valid scenario`);
    const part = planAssessment(reading.scenario, 1).find((one) => one.trains[0]?.startsWith('HSLM'));
    if (!part) throw new Error(`${file} has no HSLM train`);
    const train = runPart(reading.scenario, part).trains[0]!;
    const speeds = train.sweep.speed_kmh;
    return { speeds: speeds.length, uniformSpeeds: uniformSpeeds(speeds[0]!, speeds.at(-1)!) };
  },
};

/** Damping ratio of the demo's decks. */
const dampingRatio = 0.01;
/** Half-distance, in damping ratios, at which a resonance is 1 % below its peak: (1 + d^2)^(-1/2) = 0.99. */
const halfDistance = 0.1425;

/** Speeds of a sweep without refinement that never misses a peak by more than 1 %, its steps growing with the speed. */
function uniformSpeeds(from: number, to: number): number {
  return Math.ceil(Math.log(to / from) / (2 * halfDistance * dampingRatio));
}
