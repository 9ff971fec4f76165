import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { translateScenario } from '../../../scenarios/translate.js';
import { readValid } from './read-valid.js';

const scenario = readValid(
  readFileSync(new URL('../../../scenarios/demo/ostlewater-viaduct.json', import.meta.url), 'utf8'),
);
const model = translateScenario(scenario);

describe('the demo scenario', () => {
  it('has at least seven spans in two continuous units and a run of simply supported spans', () => {
    const units: number[] = [];
    for (const index of scenario.deck.spans.keys()) {
      if (index === 0 || scenario.supports[index]?.joint) units.push(1);
      else units[units.length - 1]!++;
    }
    expect(scenario.deck.spans.length).toBeGreaterThanOrEqual(7);
    expect(units.filter((spans) => spans > 1).length).toBeGreaterThanOrEqual(2);
    expect(units.filter((spans) => spans === 1).length).toBeGreaterThanOrEqual(2);
    expect(scenario.track?.bedding).toBeDefined();
  });

  it('has two passenger trains, a freight train and an HSLM train', () => {
    const byAxles = scenario.trains.filter((train) => train.axles !== undefined);
    expect(byAxles.filter((train) => train.class === 'passenger')).toHaveLength(2);
    expect(scenario.trains.filter((train) => train.class === 'freight')).toHaveLength(1);
    expect(scenario.trains.filter((train) => train.load_model?.startsWith('HSLM'))).toHaveLength(1);
  });

  it('has at least seven damage cases, and evidence for all but one of them', () => {
    expect(scenario.damage_cases.length).toBeGreaterThanOrEqual(7);
    const lacking = model.damageCases.filter((one) => one.resistance?.spans.some((span) => span === null));
    expect(lacking.map((one) => one.id)).toEqual(['span-2-cracked']);
  });

  it('has spans whose own first frequency is that of a railway bridge, 2 to 8 Hz', () => {
    for (const span of model.viaduct.spans) {
      const segment = span.segments[0]!;
      const track = model.viaduct.track!;
      const mass = segment.massPerLength + track.rail.massPerLength + track.slab!.massPerLength;
      const frequency = (Math.PI / (2 * segment.length ** 2)) * Math.sqrt(segment.flexuralRigidity / mass);
      expect(frequency).toBeGreaterThan(2);
      expect(frequency).toBeLessThan(8);
    }
  });
});
