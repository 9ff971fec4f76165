import fc from 'fast-check';
import { expect, it } from 'vitest';
import type { Result, TrainResult } from '../../../scenarios/result.js';
import type { Scenario } from '../../../scenarios/scenario.js';
import { speedGrid } from '../../../scenarios/translation/speeds.js';
import { arbitraryScenario } from './arbitrary-scenario.js';
import { assessFile, fuzz, fuzzTimeout, valid } from './assess.js';

/** Seconds; a scenario of this size takes about one, and a hundred times as much on no machine that is merely busy. */
const hang = 120;

it('any scenario gives a whole, finite and consistent result in reasonable time', {
  timeout: fuzzTimeout,
}, () => {
  fc.assert(
    fc.property(arbitraryScenario, (file) => {
      const { scenario } = valid(file);
      const started = performance.now();
      const result = assessFile(file);
      expect((performance.now() - started) / 1000).toBeLessThan(hang);
      expectWhole(scenario, result);
      for (const one of result.cases) for (const train of one.trains) expectConsistent(scenario, train);
      expectMinimum(result);
      expectEquilibrium(scenario, result);
    }),
    fuzz(1),
  );
});

function expectWhole(scenario: Scenario, result: Result): void {
  expect(result.cases.map(({ damage_case }) => damage_case)).toEqual([
    'intact',
    ...scenario.damage_cases.map(({ id }) => id),
  ]);
  for (const one of result.cases) {
    expect(one.trains.map(({ train }) => train)).toEqual(scenario.trains.map(({ id }) => id));
    expect(one.frequencies_Hz).toEqual([...one.frequencies_Hz].sort((a, b) => a - b));
    if (!one.stable) expect(one.trains.every(({ status }) => status === 'closed')).toBe(true);
  }
}

function expectConsistent(scenario: Scenario, train: TrainResult): void {
  const { speed_kmh: line } = scenario.line;
  const { round_down_to_kmh: step, overspeed_factor: overspeed } = scenario.decision;
  for (const { utilisation, value, evidence } of train.checks) {
    if (utilisation === null) expect(evidence).toBe('missing');
    else expect(utilisation).toBeGreaterThanOrEqual(0);
    expect(value === null).toBe(utilisation === null);
  }
  const permitted = train.permitted_speed_kmh;
  expect(permitted === null).toBe(train.status === 'closed' || train.status === 'undetermined');
  expect(train.status === 'line-speed').toBe(permitted === line);
  if (permitted !== null && permitted !== line) {
    expect(permitted).toBeLessThan(line);
    expect(permitted / step).toBeCloseTo(Math.round(permitted / step), 9);
  }
  const grid = speedGrid(scenario);
  if (permitted !== null) expect(permitted * overspeed).toBeLessThanOrEqual(grid.at(-1)! * (1 + 1e-9));
  if (train.sweep.speed_kmh.length > 0) {
    const speeds = train.sweep.speed_kmh;
    expect(speeds).toEqual([...speeds].sort((a, b) => a - b));
    expect(grid.filter((speed) => !speeds.includes(speed))).toEqual([]);
    for (const values of Object.values(train.sweep)) expect(values).toHaveLength(speeds.length);
  }
  for (const [from, to] of train.blocked_bands_kmh) expect(from).toBeLessThanOrEqual(to);
  // No speed is recommended inside or above a band that blocks it.
  if (permitted !== null && train.blocked_bands_kmh.length > 0)
    expect(permitted * overspeed).toBeLessThanOrEqual(train.blocked_bands_kmh[0]![0] + 1);
  if (permitted !== null)
    for (const { kind, permitted_speed_kmh: alone, evidence } of train.checks)
      if (kind === 'safety' && evidence === 'given') expect(alone).toBeGreaterThanOrEqual(permitted);
}

/** A class is never better off than any of its trains. */
function expectMinimum(result: Result): void {
  for (const { damage_case, class: name, permitted_speed_kmh: given, status } of result.recommendations) {
    const trains = result.cases
      .find((one) => one.damage_case === damage_case)!
      .trains.filter((train) => train.class === name);
    for (const train of trains) {
      if (train.permitted_speed_kmh === null) expect(given).toBeNull();
      else if (given !== null) expect(given).toBeLessThanOrEqual(train.permitted_speed_kmh);
    }
    if (trains.some((train) => train.status === 'closed')) expect(status).toBe('closed');
  }
}

/** Reactions carry the dead load, whatever happened. */
function expectEquilibrium(scenario: Scenario, result: Result): void {
  const oneTrack = (scenario.track?.rail.mass_kg_per_m ?? 0) + (scenario.track?.slab?.mass_kg_per_m ?? 0);
  const perMetre = oneTrack * (scenario.tracks?.length ?? 1);
  const mass = scenario.deck.spans.reduce((sum, { length_m, mass_kg_per_m, segments }) => {
    const own = segments
      ? segments.reduce((part, segment) => part + segment.length_m * segment.mass_kg_per_m, 0)
      : length_m * (mass_kg_per_m ?? Number.NaN);
    return sum + own + length_m * perMetre;
  }, 0);
  for (const { statics, statics_released } of result.cases)
    for (const one of [statics, statics_released?.statics ?? null]) {
      if (one === null) continue;
      const sum = Object.values(one.reactions_kN).reduce((total, reaction) => total + reaction, 0);
      expect(sum / ((mass * 9.81) / 1000)).toBeCloseTo(1, 5);
    }
}
