import fc from 'fast-check';
import { expect, it } from 'vitest';
import { formatExact } from '../../../worker/report/number-format.js';
import { quantityName } from '../../../worker/report/quantity.js';
import { inputsSection } from '../../../worker/report/sections/inputs-section.js';
import { exampleScenario } from './example-result.js';
import { parsePage } from './parse-page.js';

const textOf = (document: unknown): string =>
  parsePage(`<!doctype html>${inputsSection(document).text}`).text;

function leaves(value: unknown, found: { keys: string[]; scalars: (string | number)[] }): typeof found {
  if (typeof value === 'string' || typeof value === 'number') found.scalars.push(value);
  if (typeof value === 'object' && value !== null) {
    if (!Array.isArray(value)) found.keys.push(...Object.keys(value));
    for (const item of Object.values(value)) leaves(item, found);
  }
  return found;
}

it('echoes every key and every value of a scenario, whatever keys come to be added', () => {
  const word = fc.stringMatching(/^[a-z]{3,9}(_(m|mm|kN|kmh|N_m2|kg_per_m))?$/);
  const scalar = fc.oneof(
    fc.stringMatching(/^[a-z]{1,8}$/),
    fc.double({ noNaN: true, noDefaultInfinity: true }),
  );
  const { tree } = fc.letrec((tie) => ({
    tree: fc.dictionary(word, tie('node'), { maxKeys: 4 }),
    node: fc.oneof({ maxDepth: 4 }, scalar, fc.array(tie('node'), { maxLength: 3 }), tie('tree')),
  }));
  fc.assert(
    fc.property(tree, (document) => {
      const text = textOf(document);
      const { keys, scalars } = leaves(document, { keys: [], scalars: [] });
      for (const key of keys) expect(text).toContain(quantityName(key).label);
      for (const value of scalars)
        expect(text).toContain(typeof value === 'number' ? formatExact(value).replace(/\s+/g, ' ') : value);
    }),
  );
});

it('prints units from the suffixes of the keys', () => {
  const text = textOf(exampleScenario);
  expect(text).toContain('Flexural rigidity (N·m²)');
  expect(text).toContain('Start chainage 12.34 km');
  expect(text).toContain('Spacing 0.65 m');
  expect(text).toContain('Damping 60000 N·s/m');
  expect(text).toContain('Panel length none (null)');
  expect(textOf({ lengths_m: [1, 2.5] })).toContain('Lengths 1, 2.5 m');
});

it('keeps every digit of an input', () => {
  const text = textOf({ stiffness_N_per_m: 3123456789.5, small: 1.25e-7, negative_mm: -2 });
  expect(text).toContain('3.1234567895 × 10⁹ N/m');
  expect(text).toContain('1.25 × 10⁻⁷');
  expect(text).toContain('−2 mm');
});

it('never puts a table into a table: a list of records with parts of their own is stacked', () => {
  const { elements } = parsePage(`<!doctype html>${inputsSection(exampleScenario).text}`);
  let open = 0;
  let deepest = 0;
  for (const piece of inputsSection(exampleScenario).text.match(/<\/?table>/g) ?? []) {
    open += piece === '<table>' ? 1 : -1;
    deepest = Math.max(deepest, open);
  }
  expect(deepest).toBe(1);
  expect(elements.filter(({ name }) => name === 'table').length).toBeGreaterThan(3);
  expect(textOf(exampleScenario)).toContain('Id P2-softened Title Scour at pier P2 Effects');
});
