import { describe, expect, it } from 'vitest';
import { readScenario } from '../../../scenarios/read-scenario.js';
import { UsageError } from '../../../worker/cli/command-errors.js';
import { refuseSameNames, resultDirectory, scenarioName } from '../../../worker/cli/scenario-name.js';
import { markSelection, selectWork } from '../../../worker/cli/select-work.js';
import { exampleResult } from '../report/example-result.js';
import { fullScenario } from '../scenarios/minimal-scenario.js';

const reading = readScenario(JSON.stringify(fullScenario()));
if (!reading.ok) throw new Error('the full scenario does not validate');
const { scenario } = reading;

describe('a selection of cases and trains', () => {
  it('is everything when nothing is named', () => {
    expect(selectWork(scenario, { cases: [], trains: [] }, 'a.json')).toEqual(scenario);
    const result = exampleResult();
    expect(markSelection(result, { cases: [], trains: [] })).toBe(result);
  });

  it('keeps the named trains in the order of the scenario', () => {
    const selected = selectWork(scenario, { cases: [], trains: ['shuttle', 'HSLM-A1'] }, 'a.json');
    expect(selected.trains.map(({ id, load_model }) => id ?? load_model)).toEqual(['HSLM-A1', 'shuttle']);
    expect(selected.damage_cases).toEqual(scenario.damage_cases);
  });

  it('keeps only the intact deck for --case intact', () => {
    expect(selectWork(scenario, { cases: ['intact'], trains: [] }, 'a.json').damage_cases).toEqual([]);
  });

  it('refuses what the scenario does not have and lists what it has', () => {
    const unknown = () => selectWork(scenario, { cases: ['P9-lost'], trains: [] }, 'a.json');
    expect(unknown).toThrow(UsageError);
    expect(unknown).toThrow('a.json has no damage case P9-lost; it has: intact, everything');
    expect(() => selectWork(scenario, { cases: [], trains: ['tram'] }, 'a.json')).toThrow(
      'a.json has no train tram; it has: HSLM-A1, coal, LM71, shuttle',
    );
  });

  it('is stated in its result, in a key of its own and first among the cautions', () => {
    const marked = markSelection(exampleResult(), { cases: ['intact'], trains: ['coal'] });
    expect(marked.selection).toEqual({ damage_cases: ['intact'], trains: ['coal'] });
    expect(marked.cautions[0]).toMatch(/^Only a selection .*intact; trains coal.*left out/);
    expect(marked.cautions.slice(1)).toEqual(exampleResult().cautions);
  });
});

describe('the directory of a scenario', () => {
  it.each([
    ['north/valley.json', 'valley'],
    ['valley.JSON', 'valley'],
    ['valley.v2.json', 'valley.v2'],
    ['valley', 'valley'],
    ['.json', 'scenario'],
  ])('of %s is %s', (file, name) => {
    expect(scenarioName(file)).toBe(name);
  });

  it('is another for a selection', () => {
    expect(resultDirectory('north/valley.json', true)).toBe('valley');
    expect(resultDirectory('north/valley.json', false)).toBe('valley--selection');
  });

  it('is not shared by two scenarios', () => {
    expect(() => refuseSameNames(['north/valley.json', 'south/valley.json'])).toThrow(
      /would both be written to valley/,
    );
    expect(() => refuseSameNames(['north.json', 'south.json'])).not.toThrow();
  });
});
