import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { faultCodes } from '../../../scenarios/fault-codes.js';
import { schemaAt, unwrapped } from '../../../scenarios/faults/locate-schema.js';
import { loadModelIds } from '../../../scenarios/library/load-model-ids.js';
import { limitSetNames } from '../../../scenarios/limits/limit-set-names.js';
import { result } from '../../../scenarios/result.js';
import { scenarioSchema } from '../../../scenarios/scenario.js';
import { limitSetFile } from '../../../scenarios/schema/limits.js';
import { quantities } from '../../../scenarios/schema/quantity.js';
import { loadRegressionSet, regressionFolder } from '../../../worker/regression/regression-set.js';
import { readValid } from './read-valid.js';

const readme = readFileSync(new URL('../../../scenarios/README.md', import.meta.url), 'utf8');
/** Every word that the prose sets as code, so that keys count wherever in a path they stand. */
function namedIn(text: string): ReadonlySet<string> {
  const prose = text.replaceAll(/```.*?```/gs, '');
  return new Set([...prose.matchAll(/`([^`\n]+)`/g)].flatMap((match) => match[1]!.split(/[^\w-]+/)));
}
const [example, limitSet] = [...readme.matchAll(/```json\n(.*?)```/gs)].map((match) => match[1] ?? '');

/** Every key that a schema accepts, at any depth. */
function keysOf(schema: z.core.$ZodType): readonly string[] {
  const inner = unwrapped(schema);
  if (inner instanceof z.ZodObject) {
    return Object.entries(inner.shape).flatMap(([key, value]) => [key, ...keysOf(value)]);
  }
  if (inner instanceof z.ZodArray) return keysOf(inner.element);
  if (inner instanceof z.ZodDiscriminatedUnion) return inner.options.flatMap((option) => keysOf(option));
  return [];
}

describe('the description of the file format', () => {
  it('has an example that validates', () => {
    expect(readValid(example).damage_cases[0]?.id).toBe('P1-scoured');
  });

  it('has an example of a limit set that validates', () => {
    expect(limitSetFile.parse(JSON.parse(limitSet ?? '')).id).toBe('house-rules');
  });

  it('names every key that a scenario may have', () => {
    const keys = [...new Set(keysOf(scenarioSchema))];
    expect(keys.length).toBeGreaterThan(60);
    const named = namedIn(readme);
    expect(keys.filter((key) => !named.has(key))).toEqual([]);
  });

  describe('of results', () => {
    const section = readme.slice(readme.indexOf('## The result file'), readme.indexOf('## Versions'));
    const named = namedIn(section);

    it('names every key that a result may have', () => {
      const keys = [...new Set(keysOf(result))];
      expect(keys.length).toBeGreaterThan(80);
      expect(keys.filter((key) => !named.has(key))).toEqual([]);
    });

    it('names every quantity that is swept', async () => {
      const set = await loadRegressionSet(regressionFolder(), '');
      const trains = set.flatMap(({ baseline }) =>
        baseline.ok ? baseline.baseline.cases.flatMap((one) => one.trains) : [],
      );
      const swept = [...new Set(trains.flatMap(({ sweep }) => Object.keys(sweep)))];
      expect(swept.length).toBeGreaterThan(20);
      expect(swept.filter((key) => !named.has(key))).toEqual([]);
    });
  });

  it('gives the range of every number as the schema has it', () => {
    const rows = readme.matchAll(
      /^\| `([a-z_A-Z0-9.[\]]+)`[^|]*\| (?:above )?(-?[\d.,e]+) to (-?[\d.,e]+)/gm,
    );
    const number = (text: string | undefined) => Number(text?.replaceAll(',', ''));
    let compared = 0;
    for (const [, key, low, high] of rows) {
      const path = key!.replaceAll('[]', '.0').split('.');
      const schema = schemaAt(scenarioSchema, path, null);
      const about = schema instanceof z.ZodNumber ? quantities.get(schema) : undefined;
      if (about === undefined) continue;
      expect([key, number(low), number(high)]).toEqual([key, about.min, about.max]);
      compared++;
    }
    expect(compared).toBeGreaterThan(25);
  });

  it('lists every fault code with its meaning, and no other', () => {
    const listed = readme.slice(readme.indexOf('## Faults'), readme.indexOf('## Hash'));
    const rows = [...listed.matchAll(/^\| `([a-z0-9-]+)` *\| (.*?) *\|$/gm)].map((row) => [row[1], row[2]]);
    expect(Object.fromEntries(rows)).toEqual(faultCodes);
  });

  it('names limit sets and freight load models', () => {
    const names = [...limitSetNames, ...loadModelIds.filter((id) => !id.startsWith('HSLM-A'))];
    expect(names.filter((name) => !readme.includes(`\`${name}\``))).toEqual([]);
  });
});
