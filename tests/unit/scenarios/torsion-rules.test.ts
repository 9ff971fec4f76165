import { describe, expect, it } from 'vitest';
import { codesOf, faultsOf } from './faults-of.js';
import { minimalScenario, twoTrackScenario } from './minimal-scenario.js';

/** The two-track scenario after a change. */
function changed(change: (document: ReturnType<typeof twoTrackScenario>) => object): object {
  return change(twoTrackScenario());
}

describe('rules of torsion and tracks', () => {
  it('accept tracks beside the axis of a deck that turns on pairs of bearings', () => {
    expect(faultsOf(twoTrackScenario())).toEqual([]);
  });

  it('accept a deck that nothing keeps from turning: it is a mechanism, which is a result', () => {
    expect(
      codesOf(changed((file) => ({ ...file, supports: minimalScenario().supports, damage_cases: [] }))),
    ).toEqual([]);
  });

  it('want torsion everywhere or nowhere, both of its values', () => {
    const without = (key: string) =>
      changed((file) => {
        Reflect.deleteProperty(file.deck.spans[1]!, key);
        return file;
      });
    expect(codesOf(without('torsional_rigidity_N_m2'))).toEqual([
      'belong-together /deck/spans/1/torsional_rigidity_N_m2',
    ]);
    expect(codesOf(without('rotary_inertia_kg_m'))).toEqual([
      'belong-together /deck/spans/1/rotary_inertia_kg_m',
    ]);
  });

  it('want torsion of segments, not of the span they make up', () => {
    const { length_m, ...section } = twoTrackScenario().deck.spans[0]!;
    const segments = [15, 15].map((length) => ({ ...section, length_m: length }));
    const cut = (span: object) =>
      changed((file) => ({ ...file, deck: { ...file.deck, spans: [span, file.deck.spans[1]!] } }));
    expect(codesOf(cut({ length_m, segments }))).toEqual([]);
    expect(codesOf(cut({ length_m, segments, rotary_inertia_kg_m: 1e5 }))).toEqual([
      'exactly-one /deck/spans/0/rotary_inertia_kg_m',
    ]);
  });

  it('want torsion for a track beside the axis and for two bearings side by side', () => {
    const plain = changed((file) => ({ ...file, deck: minimalScenario().deck }));
    expect(codesOf(plain)).toEqual([
      'belong-together /tracks/0/eccentricity_m',
      'belong-together /tracks/1/eccentricity_m',
      'belong-together /supports/0/bearing_spread_m',
      'belong-together /supports/1/bearing_spread_m',
      'belong-together /supports/2/bearing_spread_m',
    ]);
    expect(codesOf({ ...minimalScenario(), tracks: [{ eccentricity_m: 0 }] })).toEqual([]);
  });

  it('want tracks from left to right with room between them', () => {
    const at = (...places: number[]) =>
      changed((file) => ({ ...file, tracks: places.map((eccentricity_m) => ({ eccentricity_m })) }));
    expect(codesOf(at(2, -2))).toEqual(['not-ascending /tracks/1/eccentricity_m']);
    expect(codesOf(at(-1, 0.5))).toEqual(['not-ascending /tracks/1/eccentricity_m']);
    const [slip] = faultsOf(at(-2100, 2.1));
    expect([slip?.code, slip?.guess]).toEqual(['out-of-range', 'Was it given in mm? Then write -2.1 m.']);
  });

  it('take meeting trains only where there are two tracks', () => {
    expect(codesOf(changed((file) => ({ ...file, tracks: [{ eccentricity_m: 2 }] })))).toEqual([
      'not-applicable /meeting',
    ]);
  });

  it('take one side of a bearing loss only where there are two bearings', () => {
    const one = changed((file) => {
      Reflect.deleteProperty(file.supports[1]!, 'bearing_spread_m');
      return file;
    });
    expect(codesOf(one)).toEqual(['not-applicable /damage_cases/0/effects/0/side']);
  });

  it('refuse trains of vehicles beside the axis, and say what to give instead', () => {
    const train = { id: 'unit', vehicles: [{ vehicle: 'multiple-unit-car' }] };
    const [first] = faultsOf(changed((file) => ({ ...file, trains: [train] })));
    expect([first?.code, first?.pointer]).toEqual(['not-applicable', '/trains/0/vehicles']);
    expect(first?.accepted).toContain('give axles');
    expect(
      codesOf(
        changed(({ meeting: _, ...file }) => ({ ...file, trains: [train], tracks: [{ eccentricity_m: 0 }] })),
      ),
    ).toEqual([]);
  });

  it('find an inertia that no section of that mass has: t or kg?', () => {
    const [first] = faultsOf(
      changed((file) => {
        file.deck.spans[0]!.rotary_inertia_kg_m = 120;
        return file;
      }),
    );
    expect([first?.code, first?.pointer]).toEqual(['implausible', '/deck/spans/0/rotary_inertia_kg_m']);
    expect(first?.guess).toContain('t m');
  });
});
