import { describe, expect, it } from 'vitest';
import { readScenario } from '../../../scenarios/read-scenario.js';
import { translateScenario } from '../../../scenarios/translate.js';
import { buildCaseState } from '../../../worker/assess/case-state.js';
import { affordableSpeeds, usualBudget } from '../../../worker/assess/search-budget.js';
import { assessTrain } from '../../../worker/assess/train-result.js';

describe('the speeds that a search can afford', () => {
  const budget = { anywhere: 4, deciding: 6 };

  it('are all that a round asks for while there is room', () => {
    expect(affordableSpeeds([10, 20, 30, 40], 0, 15, budget)).toEqual({
      speedsKmh: [10, 20, 30, 40],
      givenUpFromKmh: Number.POSITIVE_INFINITY,
    });
  });

  it('are the lowest where there is not, and the rest is known to be left out', () => {
    expect(affordableSpeeds([10, 20, 30, 40], 2, 15, budget)).toEqual({
      speedsKmh: [10, 20],
      givenUpFromKmh: 30,
    });
  });

  it('reach up to the lowest failure beyond that, since only what lies below it can decide', () => {
    expect(affordableSpeeds([10, 20, 30, 40, 50], 1, 45, budget)).toEqual({
      speedsKmh: [10, 20, 30, 40],
      givenUpFromKmh: 50,
    });
    expect(affordableSpeeds([10, 20, 30, 40, 50], 4, 35, budget)).toEqual({
      speedsKmh: [10, 20],
      givenUpFromKmh: 30,
    });
    expect(affordableSpeeds([10], 6, 35, budget)).toEqual({ speedsKmh: [], givenUpFromKmh: 10 });
  });
});

describe('a search that has to stop early', () => {
  const reading = readScenario(
    JSON.stringify({
      format: 'deckpace/scenario@1',
      title: 'many crests just below and above a limit',
      line: { speed_kmh: 200 },
      deck: {
        spans: [25, 25].map((length_m) => ({
          length_m,
          mass_kg_per_m: 12_000,
          flexural_rigidity_N_m2: 5.25e10,
        })),
        material: 'steel',
      },
      supports: [{ id: 'A' }, { id: 'B', joint: true }, { id: 'C' }],
      trains: [{ id: 'wagons', load_model: 'D4', wagons: 12 }],
      speeds: { from_kmh: 20, step_kmh: 10 },
      limits: { overrides: { 'deck-acceleration': 1.5 } },
      decision: { bounds: { stiffness_factors: [0.97, 1.03] } },
    }),
  );
  if (!reading.ok) throw new Error('not read');
  const model = translateScenario(reading.scenario);
  const state = buildCaseState(model, model.damageCases[0]!);
  const train = model.trains[0]!;
  const assessed = (budget = usualBudget) => assessTrain(model, state, train, () => {}, budget);
  const whole = assessed();
  const permitted = whole.permitted_speed_kmh!;

  it('finds a failure that its grid steps over when it has the time', () => {
    expect(whole.status).toBe('restricted');
    const grid = whole.blocked_bands_kmh[0]!;
    expect(Math.floor(grid[0] / 10)).toBe(Math.floor(grid[1] / 10));
  });

  it('decides the same when it has time only for what decides', () => {
    const short = assessed({ anywhere: 0, deciding: 2400 });
    expect(short.permitted_speed_kmh).toBe(permitted);
    expect(short.sweep.speed_kmh.length).toBeLessThan(whole.sweep.speed_kmh.length);
    expect(short.reason).toMatch(/no longer met.*More bands than are named may be blocked from/);
  });

  it.each([0, 3, 10, 20, 30, 60])('permits no more after %i speeds, for any check alone either', (most) => {
    const short = assessed({ anywhere: most, deciding: most });
    expect(short.permitted_speed_kmh ?? 0).toBeLessThanOrEqual(permitted);
    for (const check of short.checks) {
      const own = whole.checks.find(({ id }) => id === check.id);
      expect(check.permitted_speed_kmh ?? 0).toBeLessThanOrEqual(own?.permitted_speed_kmh ?? 0);
    }
  });

  it('says where it stopped and what can be done', () => {
    const { reason, status } = assessed({ anywhere: 3, deciding: 3 });
    expect(status).not.toBe('line-speed');
    expect(reason).toMatch(
      /the search for the worst speeds was given up there.*Fewer bounds|Assess fewer bounds/,
    );
  });
});
