import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { runCommandLine } from '../../../worker/cli/program.js';
import { minimalScenario } from '../scenarios/minimal-scenario.js';
import { recordedTerminal } from './recorded-terminal.js';
import { scratchDirectory } from './scratch-directory.js';

const scratch = scratchDirectory();
const span = { length_m: 30, mass_kg_per_m: 15000, flexural_rigidity_N_m2: 1.1e11 };
const simpleBeam = scratch.file('simple-beam.json', {
  ...minimalScenario(),
  deck: { spans: [span], damping_ratio: 0.01 },
  supports: [{ id: 'A1' }, { id: 'A2' }],
  damage_cases: [{ id: 'A2-lost', effects: [{ kind: 'bearing-loss', support: 'A2' }] }],
});

describe('deckpace modes', () => {
  it('gives the frequencies of a simple beam and how much of it each mode moves', async () => {
    const terminal = recordedTerminal();
    expect(await runCommandLine(['modes', simpleBeam, '--json'], terminal)).toBe(0);
    const { modes, stable } = JSON.parse(terminal.output());
    // n^2 pi / (2 L^2) sqrt(EI / m) and 8 / (n pi)^2: Clough and Penzien, Dynamics of Structures, chapters 18 and 26 (mem).
    const first = (Math.PI / (2 * 30 ** 2)) * Math.sqrt(1.1e11 / 15000);
    expect(stable).toBe(true);
    expect(modes.length).toBeGreaterThanOrEqual(2);
    expect(modes[0].frequency_Hz / first).toBeCloseTo(1, 3);
    expect(modes[1].frequency_Hz / (4 * first)).toBeCloseTo(1, 3);
    expect(modes[0].effective_mass_percent / (800 / Math.PI ** 2)).toBeCloseTo(1, 3);
    expect(modes[0].modal_mass_t / ((15 * 30) / 2)).toBeCloseTo(1, 2);
    expect(terminal.errors()).toBe('');
  });

  it('shows modes of torsion beside the axis, which they leave at rest', async () => {
    const turning = { ...span, torsional_rigidity_N_m2: 6e10, rotary_inertia_kg_m: 1.2e5 };
    const file = scratch.file('turning-beam.json', {
      ...minimalScenario(),
      deck: { spans: [turning], damping_ratio: 0.01 },
      supports: [
        { id: 'A1', bearing_spread_m: 4 },
        { id: 'A2', bearing_spread_m: 4 },
      ],
    });
    const terminal = recordedTerminal();
    expect(await runCommandLine(['modes', file, '--json'], terminal)).toBe(0);
    const { modes } = JSON.parse(terminal.output());
    // n / (2 L) sqrt(GJ / I_p): Blevins, Formulas for Natural Frequency and Mode Shape, table 8-19 (mem).
    const first = Math.sqrt(6e10 / 1.2e5) / (2 * 30);
    const turns = modes.find(
      (mode: { frequency_Hz: number }) => Math.abs(mode.frequency_Hz / first - 1) < 1e-3,
    );
    expect(turns.modal_mass_t).toBeNull();
    expect(Math.max(...turns.deck.map(Math.abs))).toBe(1);
    const halfway = turns.deck[(turns.deck.length - 1) / 2];
    expect(Math.abs(halfway)).toBeCloseTo(1, 3);
  });

  it('writes the mode shapes as a picture and ends with its path', async () => {
    const terminal = recordedTerminal();
    expect(await runCommandLine(['modes', simpleBeam, '--out', scratch.path], terminal)).toBe(0);
    const picture = join(scratch.path, 'simple-beam', 'modes.svg');
    expect(terminal.output().trimEnd().split('\n').at(-1)).toBe(picture);
    expect(readFileSync(picture, 'utf8')).toMatch(/^(?:<\?xml[^>]*>\s*)?<svg [\s\S]*<\/svg>\s*$/);
    expect(terminal.output()).toMatch(/Frequency/);
  });

  it('says in words that a deck that does not stand has no modes', async () => {
    const terminal = recordedTerminal();
    const out = join(scratch.path, 'none');
    expect(await runCommandLine(['modes', simpleBeam, '--case', 'A2-lost', '--out', out], terminal)).toBe(0);
    expect(terminal.output()).toMatch(/Span 1 .*A2.*does not stand/);
    expect(existsSync(join(out, 'simple-beam', 'modes.svg'))).toBe(false);
  });

  it('refuses a damage case that the scenario does not have', async () => {
    const terminal = recordedTerminal();
    expect(await runCommandLine(['modes', simpleBeam, '--case', 'P9', '--json'], terminal)).toBe(2);
    expect(terminal.errors()).toMatch(/no damage case P9; it has: intact, A2-lost/);
  });
});
