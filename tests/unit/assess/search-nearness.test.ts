import { describe, expect, it } from 'vitest';
import { readScenario } from '../../../scenarios/read-scenario.js';
import { translateScenario } from '../../../scenarios/translate.js';
import { buildCaseState } from '../../../worker/assess/case-state.js';
import { modeLifts } from '../../../worker/assess/mode-lifts.js';
import { type Finding, nearnessTo, worse } from '../../../worker/checks/check.js';
import { relievedTerms } from '../../../worker/checks/objective-entries.js';
import { amplyResistant, assess, smallScenario } from './assess-scenario.js';

describe('what the search for peaks follows', () => {
  const finding = (utilisation: number, nearness?: number): Finding => ({
    value: utilisation,
    limit: 1,
    utilisation,
    at: 0,
    where: 'support A1',
    ...(nearness === undefined ? {} : { nearness }),
  });

  it('grows with the train from the first newton on where dead load relieves, and is 1 where utilisation is', () => {
    const near = (train: number) => nearnessTo(10, { dead: -90, train });
    expect(near(0)).toBe(0);
    expect(near(50)).toBeCloseTo(0.5, 12);
    expect(near(100)).toBeCloseTo(1, 12);
    expect(nearnessTo(0, { dead: -90, train: 45 })).toBeCloseTo(0.5, 12);
    expect(nearnessTo(100, { dead: 60, train: 20 })).toBeCloseTo(0.8, 12);
  });

  it('is that of the nearest place, whichever is used most', () => {
    expect(worse(finding(0, 0.4), finding(0, 0.9))?.nearness).toBe(0.9);
    expect(worse(finding(0.3, 0.9), finding(0.5))).toMatchObject({ utilisation: 0.5, nearness: 0.9 });
    expect(worse(finding(0.5), finding(0.3))).not.toHaveProperty('nearness');
  });

  it('leaves places alike that dead load hardly touches, whichever way rounding goes', () => {
    expect(relievedTerms(1, -1e-3, 1e6)).toEqual(relievedTerms(1, 1e-3, 1e6));
    expect(relievedTerms(-1, -1e6, 1e6)).toEqual([{ weight: -0.5e-6, offset: 0 }]);
  });

  it('knows how much of each limit the vibration of a mode uses up', () => {
    const supports = [{ id: 'S0' }, { id: 'S1' }];
    const reading = readScenario(
      JSON.stringify(smallScenario(1, { supports, resistance: amplyResistant(1) })),
    );
    if (!reading.ok) throw new Error('not read');
    const model = translateScenario(reading.scenario);
    const state = buildCaseState(model, model.damageCases[0]!);
    const [variant] = state.variants;
    const lifts = modeLifts(model, state, variant!);
    // Of a simple beam, mass-normalised: ordinate sqrt(2 / (m l)) at midspan, m (l / pi)^2 times that of moment, m l / pi of reaction per unit of acceleration.
    const [mass, length] = [14_000, 30];
    const ordinate = Math.sqrt(2 / (mass * length));
    expect(lifts.get('deck-acceleration')![0]! / (ordinate / 5)).toBeCloseTo(1, 3);
    expect(lifts.get('bending')![0]! / ((mass * (length / Math.PI) ** 2 * ordinate) / 4e7)).toBeCloseTo(1, 3);
    const reaction = ((mass * length) / Math.PI) * ordinate;
    expect(lifts.get('support-reaction')![0]! / (reaction / 3e7)).toBeCloseTo(1, 2);
    // Nothing holds the bearings down but the dead load.
    const dead = variant!.deadLoad.bearings[0]!.reaction;
    expect(lifts.get('bearing-uplift')![0]! / (reaction / dead)).toBeCloseTo(1, 2);
    expect(
      lifts.get('deck-deflection')![0]! /
        ((ordinate / variant!.dynamics().modes.angularFrequencies[0]! ** 2) * (600 / 30)),
    ).toBeCloseTo(1, 3);
  });
});

describe('a sweep of a light deck whose bearings hold nothing down', () => {
  const permitted = (lineSpeed: number, step: number) =>
    assess({
      format: 'deckpace/scenario@1',
      title: 'light deck',
      line: { speed_kmh: lineSpeed },
      deck: {
        spans: [
          { length_m: 18.59, mass_kg_per_m: 3970, flexural_rigidity_N_m2: 12_021_269_960 },
          { length_m: 18.59, mass_kg_per_m: 4656, flexural_rigidity_N_m2: 8_904_422_643 },
        ],
        damping_ratio: 0.005,
      },
      supports: [
        { id: 'S0', stiffness_N_per_m: 3_216_632_217 },
        { id: 'S1' },
        { id: 'S2', stiffness_N_per_m: 3_479_295_213 },
      ],
      trains: [
        { id: 'heavy', class: 'freight', axles: heavyAxles.map((at_m) => ({ at_m, load_kN: 899.45 })) },
      ],
      speeds: { from_kmh: 15, step_kmh: step },
      limits: {
        overrides: {
          'deck-acceleration': 20,
          'deck-deflection': 500,
          'joint-step': 20,
          'end-rotation': 0.05,
        },
      },
    }).cases[0]!.trains[0]!;
  // Coaches of 20 m between heavier ends.
  const coaches = Array.from({ length: 19 }, (_, coach) => [20.525 + 20 * coach, 22.525 + 20 * coach]).flat();
  const heavyAxles = [0, 3, 14, 17, ...coaches, 386.05, 389.05, 400.05, 403.05];

  it('finds the first resonance that lifts one with a coarse grid as with a fine one', () => {
    // Up to 60 km/h there are more than two dozen that accelerate the deck more.
    const coarse = permitted(50, 5);
    expect(coarse.governing).toBe('bearing-uplift');
    expect(coarse.permitted_speed_kmh).toBe(20);
    expect(permitted(25, 1).permitted_speed_kmh).toBe(20);
  }, 300_000);
});
