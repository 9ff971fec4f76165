import { closeSync, ftruncateSync, mkdirSync, openSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { runCommandLine } from '../../../worker/cli/program.js';
import { minimalScenario } from '../scenarios/minimal-scenario.js';
import { recordedTerminal } from './recorded-terminal.js';
import { scratchDirectory } from './scratch-directory.js';

const scratch = scratchDirectory();

/** The minimal scenario as JSON text, with the first `from` replaced. */
function edited(from: string, to: string): string {
  const text = JSON.stringify(minimalScenario());
  if (!text.includes(from)) throw new Error(`the minimal scenario does not contain ${from}`);
  return text.replace(from, to);
}

function withKeys(keys: object): string {
  return JSON.stringify({ ...minimalScenario(), ...keys });
}

const axles = (count: number) =>
  Array.from({ length: count }, (_, index) => ({ at_m: 3 * index, load_kN: 100 }));
const lost = (effect: object) => withKeys({ damage_cases: [{ id: 'hit', effects: [effect] }] });

/** What is wrong, the file, the pointer that must be named, and words that must be in the message. */
const corpus: readonly (readonly [string, string, string, RegExp])[] = [
  ['no JSON at all', 'this is prose', 'the file', /JSON/],
  ['JSON that ends early', '{"format": "deckpace/scenario@1",', 'the file', /JSON/],
  ['an empty file', '', 'the file', /JSON|empty/],
  ['a number where a scenario is expected', '42', 'the file', /42|number/],
  ['a wrong format tag', edited('deckpace/scenario@1', 'bridge/file@7'), '/format', /bridge\/file@7/],
  ['no format tag', edited('"format":"deckpace/scenario@1",', ''), '/format', /deckpace\/scenario@1/],
  ['an unknown key', withKeys({ colour: 'red' }), '/colour', /colour/],
  ['a key without its unit', edited('"speed_kmh"', '"speed"'), '/line/speed', /speed_kmh/],
  ['a missing key', edited('"speed_kmh":200', ''), '/line/speed_kmh', /km\/h/],
  ['NaN for a number', edited('"speed_kmh":200', '"speed_kmh":NaN'), 'the file', /JSON|NaN/],
  ['Infinity for a number', edited('"length_m":30', '"length_m":Infinity'), 'the file', /JSON|Infinity/],
  [
    'a number too large to be one',
    edited('"length_m":30', '"length_m":1e999'),
    '/deck/spans/0/length_m',
    /m/,
  ],
  ['text for a number', edited('"length_m":30', '"length_m":"30"'), '/deck/spans/0/length_m', /"30"/],
  ['null for a number', edited('"length_m":30', '"length_m":null'), '/deck/spans/0/length_m', /null/],
  ['zero length', edited('"length_m":30', '"length_m":0'), '/deck/spans/0/length_m', /found 0/],
  ['negative length', edited('"length_m":30', '"length_m":-30'), '/deck/spans/0/length_m', /-30/],
  ['zero mass', edited('"mass_kg_per_m":15000', '"mass_kg_per_m":0'), '/deck/spans/0/mass_kg_per_m', /kg\/m/],
  [
    'negative mass',
    edited('"mass_kg_per_m":15000', '"mass_kg_per_m":-1'),
    '/deck/spans/0/mass_kg_per_m',
    /kg\/m/,
  ],
  [
    'zero stiffness of the deck',
    edited('"flexural_rigidity_N_m2":110000000000', '"flexural_rigidity_N_m2":0'),
    '/deck/spans/0/flexural_rigidity_N_m2',
    /N m2/,
  ],
  [
    'negative stiffness of a support',
    edited('"stiffness_N_per_m":3000000000', '"stiffness_N_per_m":-3e9'),
    '/supports/1/stiffness_N_per_m',
    /N\/m/,
  ],
  [
    'a mass in tonnes',
    edited('"mass_kg_per_m":15000', '"mass_kg_per_m":15'),
    '/deck/spans/0/mass_kg_per_m',
    /t\/m/,
  ],
  [
    'a support stiffness in kN/m',
    edited('"stiffness_N_per_m":3000000000', '"stiffness_N_per_m":3e6'),
    '/supports/1/stiffness_N_per_m',
    /kN\/m/,
  ],
  ['fewer supports than spans need', edited(',{"id":"A2"}', ''), '/supports', /3 supports/],
  ['a support id used twice', edited('"id":"A2"', '"id":"A1"'), '/supports/2/id', /A1/],
  [
    'a damage case id used twice',
    withKeys({
      damage_cases: [
        { id: 'hit', effects: [{ kind: 'bearing-loss', support: 'P1' }] },
        { id: 'hit', effects: [{ kind: 'bearing-loss', support: 'A1' }] },
      ],
    }),
    '/damage_cases/1/id',
    /hit/,
  ],
  [
    'a train twice',
    withKeys({ trains: [{ load_model: 'HSLM-A1' }, { load_model: 'HSLM-A1' }] }),
    '/trains/1',
    /HSLM-A1/,
  ],
  [
    'damage to an unknown support',
    lost({ kind: 'bearing-loss', support: 'P7' }),
    '/damage_cases/0/effects/0/support',
    /P7.*P1/,
  ],
  [
    'an unknown kind of damage',
    lost({ kind: 'explosion', support: 'P1' }),
    '/damage_cases/0/effects/0/kind',
    /explosion/,
  ],
  ...[0, -0.5, 1.5].map(
    (fraction) =>
      [
        `a fraction of ${fraction}`,
        lost({ kind: 'support-stiffness-loss', support: 'P1', fraction }),
        '/damage_cases/0/effects/0/fraction',
        /above 0 up to 1/,
      ] as const,
  ),
  [
    'part of a rigid support lost',
    lost({ kind: 'support-stiffness-loss', support: 'A1', fraction: 0.5 }),
    '/damage_cases/0/effects/0',
    /stiffness/,
  ],
  [
    'axles that do not ascend',
    withKeys({
      trains: [
        {
          id: 'shuttle',
          class: 'passenger',
          axles: [
            { at_m: 0, load_kN: 100 },
            { at_m: 5, load_kN: 100 },
            { at_m: 3, load_kN: 100 },
          ],
        },
      ],
    }),
    '/trains/0/axles/2/at_m',
    /3/,
  ],
  [
    'a train without axles',
    withKeys({ trains: [{ id: 'ghost', class: 'freight', axles: [] }] }),
    '/trains/0/axles',
    /axle|1/,
  ],
  ['no trains', withKeys({ trains: [] }), '/trains', /1/],
  ['an unknown load model', edited('HSLM-A1', 'HSLM-A11'), '/trains/0/load_model', /HSLM-A1/],
  ['speeds reversed', withKeys({ speeds: { from_kmh: 200, to_kmh: 100 } }), '/speeds', /200/],
  ['a step of 0', withKeys({ speeds: { step_kmh: 0 } }), '/speeds/step_kmh', /above 0/],
  [
    'a million speeds',
    withKeys({ speeds: { from_kmh: 10, to_kmh: 210, step_kmh: 0.0002 } }),
    '/speeds',
    /2000/,
  ],
  [
    'a hundred thousand axles',
    withKeys({ trains: [{ id: 'endless', class: 'freight', axles: axles(100_000) }] }),
    '/trains/0/axles',
    /2000/,
  ],
];

describe('bad input', () => {
  it.each(corpus)('%s is refused with exit code 2 and its place', async (name, text, pointer, words) => {
    const file = scratch.file(`${name.replaceAll(/\W+/g, '-')}.json`, text);
    for (const command of ['validate', 'assess']) {
      const terminal = recordedTerminal();
      expect(await runCommandLine([command, file], terminal)).toBe(2);
      const line = terminal
        .errors()
        .split('\n')
        .find((one) => one.startsWith(`  ${pointer}:`) || one.startsWith(`  ${pointer}/`));
      expect(line, terminal.errors()).toMatch(words);
      expect(line).toMatch(/found .*accepted: /);
      expect(terminal.output()).toBe('');
    }
  });

  it('lists every fault of every file, not only the first', async () => {
    const first = scratch.file('first.json', edited('"length_m":30', '"length_m":0').replace('"A2"', '"A1"'));
    const second = scratch.file('second.json', edited('HSLM-A1', 'none'));
    const terminal = recordedTerminal();
    expect(await runCommandLine(['validate', first, second], terminal)).toBe(2);
    for (const words of [
      'first.json: 2 faults',
      '/deck/spans/0/length_m',
      '/supports/2/id',
      'second.json: 1 fault',
    ])
      expect(terminal.errors()).toContain(words);
  });

  it('gives the faults as data with --json', async () => {
    const file = scratch.file('data.json', edited('"length_m":30', '"length_m":0'));
    const terminal = recordedTerminal();
    expect(await runCommandLine(['validate', file, '--json'], terminal)).toBe(2);
    const [verdict] = JSON.parse(terminal.output());
    expect(verdict).toMatchObject({ file, valid: false, faults: [{ pointer: '/deck/spans/0/length_m' }] });
  });

  it('gives a verdict on every file with --json, also where one cannot be read', async () => {
    const absent = join(scratch.path, 'gone.json');
    const good = scratch.file('good.json', minimalScenario());
    const broken = scratch.file('broken.json', edited('"length_m":30', '"length_m":0'));
    const terminal = recordedTerminal();
    expect(await runCommandLine(['validate', absent, good, broken, '--json'], terminal)).toBe(2);
    expect(JSON.parse(terminal.output())).toMatchObject([
      {
        file: absent,
        valid: false,
        scenario_sha256: null,
        faults: [],
        message: `there is no file ${absent}`,
      },
      { file: good, valid: true, faults: [], message: null },
      { file: broken, valid: false, faults: [{ pointer: '/deck/spans/0/length_m' }], message: null },
    ]);
  });

  it.each(['validate', 'assess'])(
    '%s names a file that is absent beside the faults of others',
    async (command) => {
      const broken = scratch.file('beside.json', edited('"length_m":30', '"length_m":0'));
      const terminal = recordedTerminal();
      const words = [command, join(scratch.path, 'gone.json'), broken, join(scratch.path, 'lost.json')];
      expect(await runCommandLine(words, terminal)).toBe(2);
      expect(terminal.errors()).toMatch(
        /^deckpace: there is no file .*gone\.json\n.*beside\.json: 1 fault\n {2}\/deck\/spans\/0\/length_m: .*\nthere is no file .*lost\.json\n$/,
      );
    },
  );

  it('refuses a file of 200 MB by its size, without reading it', async () => {
    const file = join(scratch.path, 'huge.json');
    const handle = openSync(file, 'w');
    ftruncateSync(handle, 200_000_000);
    closeSync(handle);
    const before = process.memoryUsage().arrayBuffers;
    const terminal = recordedTerminal();
    expect(await runCommandLine(['assess', file], terminal)).toBe(2);
    expect(terminal.errors()).toMatch(/more than 10 MB.*accepted: a scenario file of at most 10 MB/);
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(50_000_000);
  });

  it('says so when there is no such file', async () => {
    const terminal = recordedTerminal();
    expect(await runCommandLine(['assess', join(scratch.path, 'absent.json')], terminal)).toBe(2);
    expect(terminal.errors()).toMatch(/there is no file .*absent\.json/);
  });

  it('says how standard input is given when the file is a dash', async () => {
    const terminal = recordedTerminal();
    expect(await runCommandLine(['validate', '-'], terminal)).toBe(2);
    expect(terminal.errors()).toBe('deckpace: there is no file -; standard input is read as /dev/stdin\n');
  });

  it.each(['assess', 'modes'])('%s takes no empty text for a folder', async (command) => {
    const terminal = recordedTerminal();
    const good = scratch.file('anywhere.json', minimalScenario());
    expect(await runCommandLine([command, good, '--out', ''], terminal)).toBe(2);
    expect(terminal.errors()).toContain('A folder is accepted; "." is the present one.');
  });

  it('says so when the file is a directory', async () => {
    const directory = join(scratch.path, 'folder.json');
    mkdirSync(directory);
    const terminal = recordedTerminal();
    expect(await runCommandLine(['validate', directory], terminal)).toBe(2);
    expect(terminal.errors()).toMatch(/folder\.json is a directory/);
  });

  it('names the place of bytes that are not text', async () => {
    const file = scratch.file('bytes.json', Uint8Array.from([0xff, 0xfe, 0x00, 0x80]));
    const terminal = recordedTerminal();
    expect(await runCommandLine(['validate', file], terminal)).toBe(2);
    expect(terminal.errors()).toMatch(/the file: found .*UTF-8/);
  });
});
