import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { packageRoot } from '../../worker/compiled-file.js';
import type { Workload } from './workload.js';

const program = join(packageRoot(), 'dist/worker/cli/main.js');

function assess(scenario: object, options: readonly string[]): { readonly cases: readonly object[] } {
  const folder = mkdtempSync(join(tmpdir(), 'bench-'));
  try {
    const file = join(folder, 'scenario.json');
    writeFileSync(file, JSON.stringify(scenario));
    const run = spawnSync(process.execPath, [program, 'assess', file, '--json', ...options], {
      encoding: 'utf8',
      maxBuffer: 1 << 28,
    });
    if (!run.stdout.startsWith('{')) throw new Error(`assess ended with ${run.status}: ${run.stderr}`);
    return JSON.parse(run.stdout);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

const severities = [0.25, 0.5, 0.75, 1];

function contingencies(): object {
  const demo = JSON.parse(
    readFileSync(join(packageRoot(), 'scenarios/demo/ostlewater-viaduct.json'), 'utf8'),
  );
  return {
    ...demo,
    damage_cases: demo.supports.flatMap(({ id }: { id: string }) =>
      severities.map((fraction) => ({
        id: `${id}-${100 * fraction}`,
        effects: [{ kind: 'support-stiffness-loss', support: id, fraction }],
      })),
    ),
  };
}

/** W3: every support of the demo at four severities, all trains, both directions. */
export const contingency = (threads: number): Workload => ({
  id: `W3-${threads}`,
  title: `contingency: the demo, all supports x 4 severities, all trains, ${threads} ${threads === 1 ? 'thread' : 'threads'}`,
  run: () => ({ cases: assess(contingencies(), ['--threads', String(threads)]).cases.length, threads }),
});

/** W5: a whole process on one span and one train. */
export const coldStart: Workload = {
  id: 'W5',
  title: 'cold: whole process of `deckpace assess`, one span, one train',
  run: () => ({
    cases: assess(
      {
        format: 'deckpace/scenario@1',
        title: 'One span',
        line: { speed_kmh: 160 },
        deck: {
          spans: [{ length_m: 30, mass_kg_per_m: 15_000, flexural_rigidity_N_m2: 1.1e11 }],
          damping_ratio: 0.01,
        },
        supports: [{ id: 'A1' }, { id: 'A2' }],
        trains: [{ load_model: 'HSLM-A1' }],
        speeds: { from_kmh: 40, to_kmh: 192, step_kmh: 5 },
      },
      [],
    ).cases.length,
  }),
};
