import { describe, expect, it } from 'vitest';
import { codesOf, faultsOf, fullScenarioWith } from './faults-of.js';
import { minimalScenario } from './minimal-scenario.js';

describe('rules across the classes of trains', () => {
  const classed = (...names: readonly (string | undefined)[]) => ({
    ...minimalScenario(),
    trains: [
      { load_model: 'HSLM-A1' },
      ...names.map((name, index) => ({
        id: `unit ${index}`,
        ...(name === undefined ? {} : { class: name }),
        axles: [{ at_m: 0, load_kN: 150 }],
      })),
    ],
  });

  it('find a class that is another one misspelt, and would have a speed of its own', () => {
    const [first, ...rest] = faultsOf(classed('pasenger', 'pasenger'));
    expect(rest).toEqual([]);
    expect(first?.message).toBe(
      '/trains/1/class: found the class "pasenger" beside "passenger" of other trains; accepted: one spelling for one class: its speed is that of its slowest train. Did you mean "passenger"?',
    );
    expect(codesOf(classed('Passenger'))).toEqual(['not-accepted /trains/1/class']);
    expect(codesOf(classed('passengers'))).toEqual(['not-accepted /trains/1/class']);
    expect(codesOf(classed('heavy-freight', 'Heavy freight'))).toEqual(['not-accepted /trains/2/class']);
  });

  it('leave classes alone that only look alike', () => {
    expect(
      codesOf(classed('passenger', 'passenger A', 'passenger-2', 'freight', 'IC1', 'IC2', undefined)),
    ).toEqual([]);
    expect(codesOf(classed('fright', 'Fright train'))).toEqual([]);
  });
});

describe('rules across the keys of trains and speeds', () => {
  it('find axles in km or mm by their distance', () => {
    const railcar = (...positions: readonly number[]) => ({
      ...minimalScenario(),
      trains: [{ id: 'railcar', axles: positions.map((at_m) => ({ at_m, load_kN: 150 })) }],
    });
    expect(codesOf(railcar(0, 0.1, 200.1))).toEqual([]);
    const [near, ...others] = faultsOf(railcar(0, 0.0025, 0.0175, 0.02));
    expect(others).toEqual([]);
    expect(near?.message).toBe(
      '/trains/0/axles/1/at_m: found 0.0025 m, 0.0025 m behind the axle before; accepted: 0.1 to 200 m between two axles of a train. Was it given in km? Then they stand 2.5 m apart.',
    );
    const [far] = faultsOf(railcar(0, 2500));
    expect([far?.code, far?.pointer]).toEqual(['implausible', '/trains/0/axles/1/at_m']);
    expect(far?.guess).toBe('Was it given in mm? Then they stand 2.5 m apart.');
  });

  it('want either a load model or axles', () => {
    expect(codesOf({ ...minimalScenario(), trains: [{ id: 'x' }] })).toEqual(['exactly-one /trains/0']);
    const both = { id: 'x', load_model: 'D4', axles: [{ at_m: 0, load_kN: 100 }] };
    expect(codesOf({ ...minimalScenario(), trains: [both] })).toEqual(['exactly-one /trains/0']);
  });

  it('want a name for own axles, and every name once', () => {
    const axles = [{ at_m: 0, load_kN: 100 }];
    expect(codesOf({ ...minimalScenario(), trains: [{ axles }] })).toEqual(['missing-key /trains/0/id']);
    const twice = [{ load_model: 'D4' }, { load_model: 'D4', wagons: 3 }];
    const [first] = faultsOf({ ...minimalScenario(), trains: twice });
    expect([first?.code, first?.pointer]).toEqual(['duplicate-name', '/trains/1/id']);
    expect(first?.guess).toContain('its own "id"');
  });

  it('want axles in ascending order from 0', () => {
    const train = (...at: number[]) => ({
      ...minimalScenario(),
      trains: [{ id: 'x', axles: at.map((at_m) => ({ at_m, load_kN: 100 })) }],
    });
    expect(codesOf(train(0, 3, 2, 5))).toEqual(['not-ascending /trains/0/axles/2/at_m']);
    expect(codesOf(train(0, 3, 3))).toEqual(['not-ascending /trains/0/axles/2/at_m']);
    expect(codesOf(train(1, 3))).toEqual(['not-ascending /trains/0/axles/0/at_m']);
    expect(codesOf({ ...minimalScenario(), trains: [{ id: 'x', axles: [] }] })).toEqual([
      'too-few /trains/0/axles',
    ]);
  });

  it('take wagons only for freight wagons and a dynamic factor only for static load models', () => {
    expect(codesOf(fullScenarioWith('/trains/0/wagons', 3))).toEqual(['not-applicable /trains/0/wagons']);
    expect(codesOf(fullScenarioWith('/trains/1/dynamic_factor', 'phi2'))).toEqual([
      'not-applicable /trains/1/dynamic_factor',
    ]);
  });

  it('keep HSLM-B to the short spans it is meant for', () => {
    expect(codesOf({ ...minimalScenario(), trains: [{ load_model: 'HSLM-B' }] })).toEqual([
      'load-model-span /trains/0/load_model',
    ]);
  });

  it('find reversed speeds, also against the speed the sweep would reach by itself', () => {
    expect(codesOf({ ...minimalScenario(), speeds: { from_kmh: 200, to_kmh: 100 } })).toEqual([
      'not-ascending /speeds/from_kmh',
    ]);
    expect(codesOf({ ...minimalScenario(), speeds: { from_kmh: 300 } })).toEqual([
      'not-ascending /speeds/from_kmh',
    ]);
  });

  it('refuse a million speeds with the bound named', () => {
    const [first] = faultsOf({ ...minimalScenario(), speeds: { step_kmh: 0.00023 } });
    expect(first?.code).toBe('too-many');
    expect(first?.accepted).toContain('at most 2000 speeds');
  });
});
