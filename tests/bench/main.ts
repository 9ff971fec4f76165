import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Bench } from 'tinybench';
import { packageRoot } from '../../worker/compiled-file.js';
import { codeSweep } from './code-sweep.js';
import { oneTrainDemo } from './one-train-demo.js';
import type { Measurement } from './workload.js';

/** Runs every workload a few times and writes `out/bench.json`; figures are for comparing commits on one machine. */
const workloads = [codeSweep, oneTrainDemo];
const measurements: Measurement[] = [];
for (const { id, title, run } of workloads) {
  let work: Readonly<Record<string, number>> = {};
  const bench = new Bench({ iterations: 3, time: 0, warmup: false });
  bench.add(id, () => {
    work = run();
  });
  await bench.run();
  const result = bench.tasks[0]!.result;
  if (!('latency' in result)) throw new Error(`${id} could not be measured`);
  const { latency } = result;
  const seconds = (milliseconds: number) => milliseconds / 1e3;
  measurements.push({
    id,
    title,
    work,
    samples: latency.samplesCount,
    median: seconds(latency.p50),
    lowest: seconds(latency.min),
    highest: seconds(latency.max),
  });
  const { median, lowest, highest } = measurements[measurements.length - 1]!;
  const counted = Object.entries(work).map(([what, count]) => `${count} ${what}`);
  console.log(
    `${id}: ${median.toFixed(2)} s (${lowest.toFixed(2)} to ${highest.toFixed(2)}), ${counted.join(', ')}: ${title}`,
  );
}
const folder = join(packageRoot(), 'out');
mkdirSync(folder, { recursive: true });
writeFileSync(join(folder, 'bench.json'), `${JSON.stringify(measurements, null, 2)}\n`);
console.log(join('out', 'bench.json'));
