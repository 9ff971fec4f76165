import { execFileSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import type { Measurement } from './workload.js';

const program = fileURLToPath(new URL('./long-viaduct-process.js', import.meta.url));
const sizes = [15, 30, 60, 120];

interface Outcome {
  readonly seconds: number;
  readonly unknowns: number;
  readonly modes: number;
  readonly megabytes: number;
}

/** W4: mesh and all modes to 30 Hz of 15 to 120 spans with track, each in its own process, with the exponent of growth. */
export function measureLongViaducts(): Measurement[] {
  const outcomes = sizes.map((spans) => {
    const outcome: Outcome = JSON.parse(
      execFileSync(process.execPath, [program, String(spans)], { encoding: 'utf8' }),
    );
    return { spans, ...outcome };
  });
  const first = outcomes[0]!;
  return outcomes.map(({ spans, seconds, ...work }) => ({
    id: `W4-${spans}`,
    title: `long: modes to 30 Hz of ${spans} spans with track`,
    work: {
      ...work,
      ...(spans === first.spans
        ? {}
        : { exponent: Math.log(seconds / first.seconds) / Math.log(spans / first.spans) }),
    },
    samples: 1,
    median: seconds,
    lowest: seconds,
    highest: seconds,
  }));
}
