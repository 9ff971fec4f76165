import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Bench } from 'tinybench';
import { packageRoot } from '../../worker/compiled-file.js';
import { codeSweep, codeSweepPart, codeSweepPlain } from './code-sweep.js';
import { coldStart, contingency } from './command-line.js';
import { measureLongViaducts } from './long-viaducts.js';
import { oneTrainDemo } from './one-train-demo.js';
import { trackSweep } from './track-sweep.js';
import { vehicleSweep } from './vehicle-sweep.js';
import type { Measurement, Workload } from './workload.js';

// Runs every workload, or those whose ids begin as the arguments say, and writes out/bench.json; the figures are for comparing
// commits on one machine.
const wanted = process.argv.slice(2);
const isWanted = (id: string) => wanted.length === 0 || wanted.some((start) => id.startsWith(start));
const workloads: readonly (readonly [workload: Workload, runs: number])[] = [
  [codeSweep, 3],
  [codeSweepPart, 5],
  [codeSweepPlain, 3],
  [trackSweep, 3],
  [oneTrainDemo, 3],
  [contingency(1), 1],
  [contingency(2), 1],
  [coldStart, 9],
  [vehicleSweep(2), 1],
  [vehicleSweep(4), 1],
  [vehicleSweep(8), 1],
];

async function measure({ id, title, run }: Workload, runs: number): Promise<Measurement> {
  let work: Readonly<Record<string, number>> = {};
  const bench = new Bench({ iterations: runs, time: 0, warmup: false });
  bench.add(id, () => {
    work = run();
  });
  await bench.run();
  const result = bench.tasks[0]!.result;
  if (!('latency' in result)) throw new Error(`${id} could not be measured: ${JSON.stringify(result)}`);
  const { latency } = result;
  return {
    id,
    title,
    work,
    samples: latency.samplesCount,
    median: latency.p50 / 1e3,
    lowest: latency.min / 1e3,
    highest: latency.max / 1e3,
  };
}

const measurements: Measurement[] = [];
const add = (measurement: Measurement) => {
  measurements.push(measurement);
  const { id, title, work, median, lowest, highest } = measurement;
  const counted = Object.entries(work).map(([what, count]) => `${what} ${Number(count.toPrecision(4))}`);
  console.log(
    `${id}: ${median.toFixed(3)} s (${lowest.toFixed(3)} to ${highest.toFixed(3)}), ${counted.join(', ')}: ${title}`,
  );
};
for (const [workload, runs] of workloads) if (isWanted(workload.id)) add(await measure(workload, runs));
if (isWanted('W4')) for (const measurement of measureLongViaducts()) add(measurement);

const medianOf = (id: string) =>
  measurements.find((measurement) => measurement.id === id)?.median ?? Number.NaN;
for (const [what, ratio] of [
  ['plain path over kernel', medianOf('W1-plain') / medianOf('W1-part')],
  ['one thread over two', medianOf('W3-1') / medianOf('W3-2')],
] as const) {
  if (Number.isFinite(ratio)) console.log(`${what}: ${ratio.toFixed(1)}`);
}
const folder = join(packageRoot(), 'out');
mkdirSync(folder, { recursive: true });
writeFileSync(join(folder, 'bench.json'), `${JSON.stringify(measurements, null, 2)}\n`);
console.log(join('out', 'bench.json'));
