import { execFile, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { result as resultSchema } from '../../../scenarios/result.js';
import { minimalScenario } from '../scenarios/minimal-scenario.js';
import { projectRoot } from './project-root.js';
import { scratchDirectory } from './scratch-directory.js';

const scratch = scratchDirectory();
const program = join(projectRoot, 'dist/worker/cli/main.js');
const small = scratch.file('small.json', {
  ...minimalScenario(),
  line: { speed_kmh: 80 },
  speeds: { from_kmh: 60, to_kmh: 90, step_kmh: 30 },
  trains: [{ load_model: 'D4', wagons: 1 }],
});

/** Runs a shell line in which $deckpace is the compiled program. */
function shell(
  line: string,
): Promise<{ readonly code: number; readonly output: string; readonly errors: string }> {
  return new Promise((resolve) => {
    const environment = { ...process.env, deckpace: program };
    execFile(
      'bash',
      ['-c', line],
      { env: environment, cwd: scratch.path, maxBuffer: 1e9 },
      (error, output, errors) =>
        resolve({
          code: typeof error?.code === 'number' ? error.code : error === null ? 0 : -1,
          output,
          errors,
        }),
    );
  });
}

describe('the compiled program', () => {
  it('can be called by its name', async () => {
    const { code, output } = await shell('"$deckpace" --version');
    expect(output).toMatch(/^\d+\.\d+\.\d+\n$/);
    expect(code).toBe(0);
  });

  it('assesses and prints only the path of the report last', async () => {
    const { code, output, errors } = await shell(`"$deckpace" assess ${small} --out results`);
    expect(errors).not.toMatch(/failure/);
    expect(code).toBe(0);
    expect(output.trimEnd().split('\n').at(-1)).toBe('results/small/report.html');
    expect(readdirSync(join(scratch.path, 'results/small')).sort()).toEqual([
      'report.html',
      'result.json',
      'sweeps.csv',
    ]);
  });

  it('prints a result that can be piped', async () => {
    const { output } = await shell(`"$deckpace" assess ${small} --json 2>/dev/null | cat`);
    expect(resultSchema.parse(JSON.parse(output)).format).toBe('deckpace/result@1');
  });

  it('is at ease with a reader that goes away', async () => {
    const { code, output, errors } = await shell(
      `set -o pipefail; "$deckpace" assess ${small} ${small.replace('small', './small')} --json | head -c 20`,
    );
    expect(output).toHaveLength(20);
    expect(errors).not.toMatch(/EPIPE|failure/);
    expect(code).toBe(0);
  });

  it('says so when the output has no room, and ends with 3: no input is at fault', async () => {
    const { code, errors } = await shell('"$deckpace" library limits > /dev/full');
    expect(errors).toMatch(/^deckpace: standard output cannot be written: ENOSPC.*\n$/);
    expect(code).toBe(3);
  });

  it('ends with 3 when a scenario cannot be read because the medium fails', async () => {
    // Reading the memory of a process where nothing is mapped is answered with EIO.
    const { code, output, errors } = await shell(`"$deckpace" validate /proc/self/mem ${small}`);
    expect(errors).toMatch(/^deckpace: \/proc\/self\/mem cannot be read: EIO.*\n$/);
    expect(output).toMatch(/small\.json: valid/);
    expect(code).toBe(3);
  });

  it('leaves the whole result of the run before when a disk takes only part of the new one, and ends with 3', async () => {
    const files = ['report.html', 'result.json', 'sweeps.csv'];
    const directory = join(scratch.path, 'filled', 'small');
    mkdirSync(directory, { recursive: true });
    for (const file of files) writeFileSync(join(directory, file), 'of the run before');
    const { code, errors } = await shell(`ulimit -f 60; "$deckpace" assess ${small} --out filled`);
    expect(errors).toMatch(/report\.html cannot be written: EFBIG/);
    expect(code).toBe(3);
    expect(readdirSync(directory).sort()).toEqual(files);
    for (const file of files) expect(readFileSync(join(directory, file), 'utf8')).toBe('of the run before');
  });

  it.each(['/proc/results', '/proc/deep/results'])(
    'refuses at once to write to %s, where no directory can be made',
    async (out) => {
      const { code, errors } = await shell(`timeout 20 "$deckpace" assess ${small} --out ${out}`);
      expect(errors).toMatch(/^deckpace: \/proc\/\S+ cannot be written: ENOENT.*--out DIR\n$/);
      expect(code).toBe(2);
    },
  );

  it.each(['assess', 'assess --threads 2 --json', 'validate'])(
    'refuses to start in a directory that has been removed: %s',
    async (words) => {
      const removed = 'mkdir removed && cd removed && rmdir ../removed';
      const { code, errors } = await shell(`${removed} && timeout 20 "$deckpace" ${words} ${small}`);
      expect(errors).toMatch(
        /^deckpace: the directory in which deckpace was started has been removed: .*\n$/,
      );
      expect(code).toBe(2);
    },
  );

  it('reads a scenario from a pipe', async () => {
    const { code, output } = await shell(`"$deckpace" validate <(cat ${small})`);
    expect(output).toMatch(/: valid: 2 spans, 1 train, /);
    expect(code).toBe(0);
  });

  it('stops reading a pipe that never ends at the largest size of a scenario', async () => {
    const { code, errors } = await shell('"$deckpace" validate /dev/zero');
    expect(errors).toMatch(/more than 10 MB/);
    expect(code).toBe(2);
  });

  it('ends with 130 on Ctrl-C and leaves no half result', async () => {
    const demo = join(projectRoot, 'scenarios/demo/ostlewater-viaduct.json');
    const out = join(scratch.path, 'stopped');
    const child = spawn(process.execPath, [program, 'assess', demo, '--out', out, '--threads', '2'], {
      stdio: ['ignore', 'ignore', 'pipe'],
    });
    let errors = '';
    child.stderr.setEncoding('utf8').on('data', (text: string) => {
      // The first line says that the first part has ended: threads are at work.
      if (errors === '') child.kill('SIGINT');
      errors += text;
    });
    const [code] = await once(child, 'close');
    expect(errors).toMatch(/stopped before the end/);
    expect(code).toBe(130);
    expect(readdirSync(join(out, 'ostlewater-viaduct'))).toEqual([]);
  });
});
