import { describe, expect, it } from 'vitest';
import { translateScenario } from '../../../scenarios/translate.js';
import { codesOf, faultsOf } from './faults-of.js';
import { minimalScenario } from './minimal-scenario.js';
import { readValid } from './read-valid.js';

const root = '/supports_flexibility';
const withMatrix = (flexibility_m_per_N: unknown, supports: readonly string[] = ['P1', 'A2']) => ({
  ...minimalScenario(),
  supports_flexibility: { supports, flexibility_m_per_N },
});
const good = [
  [4e-10, 1e-10],
  [1e-10, 3e-10],
];

const frame = {
  nodes: [
    { id: 'left', x_m: 10, z_m: 20, held: 'clamped' },
    { id: 'crown', x_m: 30, z_m: 0, support: 'P1' },
    { id: 'right', x_m: 50, z_m: 20, held: 'pinned' },
  ],
  bars: [
    { from: 'left', to: 'crown', axial_rigidity_N: 1e11, flexural_rigidity_N_m2: 1e11, mass_kg_per_m: 8000 },
    { from: 'crown', to: 'right', axial_rigidity_N: 1e11, mass_kg_per_m: 8000 },
  ],
};
const withFrame = (changes: object) => ({
  ...minimalScenario(),
  supports_flexibility: { frame: { ...frame, ...changes } },
});

describe('what supports stand on together', () => {
  it('is a matrix or a frame in SI units, absent where every support has ground of its own', () => {
    const read = (document: unknown) =>
      translateScenario(readValid(JSON.stringify(document))).viaduct.substructure;
    expect(read(minimalScenario())).toBeUndefined();
    expect(read(withMatrix(good))).toEqual({
      supports: ['P1', 'A2'],
      flexibility: Float64Array.of(4e-10, 1e-10, 1e-10, 3e-10),
      mass: null,
    });
    const condensed = read({ ...minimalScenario(), supports_flexibility: { frame } });
    expect(condensed?.supports).toEqual(['P1']);
    expect(condensed!.flexibility[0]).toBeGreaterThan(1e-10);
    expect(condensed!.mass![0]).toBeGreaterThan(1e4);
  });

  it('is one of the two', () => {
    expect(codesOf({ ...minimalScenario(), supports_flexibility: {} })).toEqual([`exactly-one ${root}`]);
    const both = { supports: ['P1'], flexibility_m_per_N: [[1e-10]], frame };
    expect(codesOf({ ...minimalScenario(), supports_flexibility: both })).toEqual([`exactly-one ${root}`]);
  });
});

describe('a flexibility matrix', () => {
  it('is symmetric (Maxwell)', () => {
    const [first] = faultsOf(
      withMatrix([
        [4e-10, 1e-10],
        [1.2e-10, 3e-10],
      ]),
    );
    expect([first?.code, first?.pointer]).toEqual(['implausible', `${root}/flexibility_m_per_N/1/0`]);
    expect(first?.accepted).toContain('symmetric');
  });

  it('is positive definite', () => {
    const [first] = faultsOf(
      withMatrix([
        [4e-10, 5e-10],
        [5e-10, 3e-10],
      ]),
    );
    expect([first?.code, first?.pointer]).toEqual(['implausible', `${root}/flexibility_m_per_N/1/1`]);
    expect(first?.accepted).toContain('positive definite');
    expect(
      codesOf(
        withMatrix([
          [-1e-10, 0],
          [0, 3e-10],
        ]),
      ),
    ).toEqual([`implausible ${root}/flexibility_m_per_N/0/0`]);
  });

  it('has a row and a column for every support', () => {
    expect(codesOf(withMatrix([[4e-10, 1e-10]]))).toEqual([`count-mismatch ${root}/flexibility_m_per_N`]);
    expect(codesOf(withMatrix([[4e-10, 1e-10], [1e-10]]))).toEqual([
      `count-mismatch ${root}/flexibility_m_per_N/1`,
    ]);
    const { supports: _, ...alone } = withMatrix(good).supports_flexibility;
    expect(codesOf({ ...minimalScenario(), supports_flexibility: alone })).toEqual([
      `missing-key ${root}/supports`,
    ]);
  });

  it('names supports that exist, each once', () => {
    const [first] = faultsOf(withMatrix(good, ['P1', 'A3']));
    expect([first?.code, first?.pointer]).toEqual(['unknown-support', `${root}/supports/1`]);
    expect(codesOf(withMatrix(good, ['P1', 'P1']))).toContain(`duplicate-name ${root}/supports/1`);
  });

  it('is in m/N: mm/kN and m/kN are told from it', () => {
    const [large] = faultsOf(
      withMatrix([
        [4e-4, 0],
        [0, 3e-10],
      ]),
    );
    expect([large?.code, large?.pointer]).toEqual(['out-of-range', `${root}/flexibility_m_per_N/0/0`]);
    expect(large?.guess).toContain('mm/kN');
    const [soft] = faultsOf(
      withMatrix([
        [4e-7, 0],
        [0, 3e-10],
      ]),
    );
    expect([soft?.code, soft?.pointer]).toEqual(['implausible', `${root}/flexibility_m_per_N/0/0`]);
    expect(soft?.guess).toContain('m/kN');
    const stiff = (own: number) =>
      codesOf(
        withMatrix([
          [own, 0],
          [0, 3e-10],
        ]),
      );
    // A point of an arch goes down by centimetres where the deck does not help it; m/kN of a stiff one by decimetres.
    expect(stiff(3e-8)).toEqual([]);
    expect(stiff(4e-8)).toEqual([`implausible ${root}/flexibility_m_per_N/0/0`]);
  });
});

describe('a frame under the supports', () => {
  it('has nodes of one name each, and bars between nodes that exist', () => {
    const nodes = [...frame.nodes, { id: 'left', x_m: 0, z_m: 0 }];
    expect(codesOf(withFrame({ nodes }))).toContain(`duplicate-name ${root}/frame/nodes/3/id`);
    const bars = [...frame.bars, { ...frame.bars[0], to: 'nowhere' }];
    expect(codesOf(withFrame({ bars }))).toEqual([`unknown-node ${root}/frame/bars/2/to`]);
  });

  it('carries supports where they stand, on nodes that move', () => {
    const crown = (changes: object) =>
      withFrame({ nodes: frame.nodes.map((node) => (node.id === 'crown' ? { ...node, ...changes } : node)) });
    const at = `${root}/frame/nodes/1`;
    expect(codesOf(crown({ support: 'P9' }))).toEqual([`unknown-support ${at}/support`]);
    expect(codesOf(crown({ x_m: 36 }))).toEqual([`implausible ${at}/x_m`]);
    expect(codesOf(crown({ held: 'pinned' }))).toEqual([`not-applicable ${at}/held`]);
    expect(codesOf(crown({ support: undefined }))).toEqual([`too-few ${root}/frame/nodes`]);
  });

  it('has bars with a length and stands', () => {
    const bars = [...frame.bars, { ...frame.bars[0], from: 'crown' }];
    expect(codesOf(withFrame({ bars }))).toEqual([`implausible ${root}/frame/bars/2/to`]);
    const loose = frame.bars.map(({ flexural_rigidity_N_m2: _, ...rest }) => rest).slice(0, 1);
    const [first] = faultsOf(withFrame({ bars: loose }));
    expect([first?.code, first?.pointer]).toEqual(['implausible', `${root}/frame`]);
    expect(first?.found).toContain('move without resistance');
  });
});
