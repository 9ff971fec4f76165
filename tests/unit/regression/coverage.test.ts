import { beforeAll, describe, expect, it } from 'vitest';
import type { CheckId } from '../../../scenarios/result.js';
import type { Scenario } from '../../../scenarios/scenario.js';
import { checks } from '../../../worker/checks/list.js';
import type { ContractFields } from '../../../worker/regression/contract-fields.js';
import { loadRegressionSet, regressionFolder } from '../../../worker/regression/regression-set.js';

type Train = ContractFields['cases'][number]['trains'][number];

let scenarios: readonly Scenario[];
let cases: readonly ContractFields['cases'][number][];
let trains: readonly Train[];

beforeAll(async () => {
  const set = await loadRegressionSet(regressionFolder(), '');
  scenarios = set.map(({ scenario }) => scenario);
  cases = set.flatMap(({ baseline }) => (baseline.ok ? baseline.baseline.cases : []));
  trains = cases.flatMap((one) => one.trains);
});

const seen = <T>(values: readonly T[]) => [...new Set(values)].sort();

describe('the regression scenarios', () => {
  it('are at least 24', () => {
    expect(scenarios.length).toBeGreaterThanOrEqual(24);
  });

  it('have every structure form', () => {
    const forms = scenarios.flatMap(({ deck, supports }) => {
      const inner = supports.slice(1, -1);
      return [
        deck.spans.length === 1 ? 'single span' : 'several spans',
        ...inner.map(({ joint }) => (joint ? 'joint' : 'continuous')),
        inner.some(({ joint }) => joint) && inner.some(({ joint }) => !joint) ? 'mixed' : 'one kind',
        ...supports.map(({ stiffness_N_per_m }) => (stiffness_N_per_m === undefined ? 'rigid' : 'elastic')),
        ...supports.map(({ bearing_spread_m }) => (bearing_spread_m ? 'two bearings' : 'one bearing')),
        ...supports.map(({ uplift_resistance_kN }) => (uplift_resistance_kN > 0 ? 'tied down' : 'resting')),
        ...deck.spans.map(({ segments }) => (segments ? 'stepped' : 'uniform')),
        ...deck.spans.flatMap(({ segments }) =>
          segments?.some(({ shear_rigidity_N }) => shear_rigidity_N !== undefined) ? ['shear'] : [],
        ),
        deck.material ?? 'own damping ratio',
      ];
    });
    expect(seen(forms)).toEqual(
      [
        'composite',
        'continuous',
        'elastic',
        'joint',
        'mixed',
        'one bearing',
        'one kind',
        'own damping ratio',
        'prestressed-concrete',
        'reinforced-concrete',
        'resting',
        'rigid',
        'several spans',
        'shear',
        'single span',
        'steel',
        'stepped',
        'tied down',
        'two bearings',
        'uniform',
      ].sort(),
    );
  });

  it('have every track form', () => {
    const forms = scenarios.map(({ track }) => {
      if (track === undefined) return 'none';
      if (track.slab === undefined) return 'rail on deck';
      return track.slab.panel_length_m === null ? 'continuous slab' : 'panels';
    });
    expect(seen(forms)).toEqual(['continuous slab', 'none', 'panels', 'rail on deck']);
  });

  it('have tracks beside the axis, and trains that meet and that do not', () => {
    const kinds = scenarios.map(({ tracks, meeting }) =>
      (tracks?.length ?? 1) < 2 ? 'one track' : (meeting ?? 'all-tracks'),
    );
    expect(seen(kinds)).toEqual(['all-tracks', 'one track', 'one-track']);
  });

  it('have one of two bearings lost', () => {
    const effects = scenarios.flatMap(({ damage_cases }) => damage_cases.flatMap((one) => one.effects));
    const sides = effects.flatMap((effect) => (effect.kind === 'bearing-loss' && effect.side) || []);
    expect(seen(sides)).toEqual(['left', 'right']);
  });

  it('have every family of load models, both dynamic factors and trains turned round', () => {
    const families = scenarios.flatMap((scenario) =>
      scenario.trains.flatMap((train) => [
        train.load_model?.replace(/^HSLM-A\d+$/, 'HSLM-A').replace(/^[A-E]\d?$/, 'wagons') ?? 'own axles',
        ...(train.dynamic_factor ? [train.dynamic_factor] : []),
        ...(train.reverse ? ['reversed'] : []),
      ]),
    );
    expect(seen(families)).toEqual([
      'HSLM-A',
      'HSLM-B',
      'LM71',
      'SW/0',
      'SW/2',
      'own axles',
      'phi2',
      'reversed',
      'wagons',
    ]);
  });

  it('have every damage effect, alone and combined', () => {
    const effects = scenarios.flatMap(({ damage_cases }) => damage_cases.map((one) => one.effects));
    const kinds = [
      'bearing-loss',
      'bedding-loss',
      'deck-stiffness-loss',
      'fastening-loss',
      'support-settlement',
      'support-stiffness-loss',
    ];
    expect(seen(effects.filter((list) => list.length === 1).map((list) => list[0]!.kind))).toEqual(kinds);
    expect(effects.some((list) => kinds.every((kind) => list.some((effect) => effect.kind === kind)))).toBe(
      true,
    );
  });

  it('let every check of safety govern at least once', () => {
    const onlyFelt = (id: CheckId) => id === 'body-acceleration' || id === 'ride-comfort';
    const known: CheckId[] = ['equilibrium', ...checks.map(({ id }) => id).filter((id) => !onlyFelt(id))];
    expect(seen(trains.flatMap(({ governing }) => governing ?? []))).toEqual(seen(known));
  });

  it('let every check fail somewhere, so that each limit is felt', () => {
    const failsSomewhere = trains.flatMap((train) =>
      train.checks.filter(({ utilisation }) => (utilisation ?? 0) > 1).map(({ id }) => id),
    );
    const limiting = trains.filter(({ status }) => status === 'restricted').map(({ governing }) => governing);
    const expected = checks.map(({ id }) => id).sort();
    expect(seen([...failsSomewhere, 'equilibrium'])).toEqual(seen([...expected, 'equilibrium']));
    expect(limiting.length).toBeGreaterThanOrEqual(10);
  });

  it('reach every status and every branch of the decision', () => {
    expect(seen(trains.map(({ status }) => status))).toEqual([
      'closed',
      'line-speed',
      'restricted',
      'undetermined',
    ]);
    const branches: readonly [string, boolean][] = [
      ['a mechanism', cases.some((one) => !one.stable && one.mechanism !== null)],
      ['dead load lifts, the rest stands', cases.some((one) => one.statics_released?.stable === true)],
      ['dead load lifts, nothing stands', cases.some((one) => one.statics_released?.stable === false)],
      ['closed standing still', trains.some(({ reason }) => reason.includes('even at walking pace'))],
      ['closed below the first step', trains.some(({ reason }) => reason.includes('fails already at'))],
      ['sweep ends first', trains.some(({ reason }) => reason.startsWith('The sweep ends'))],
      ['no limit at that speed', trains.some(({ reason }) => reason.startsWith('The limits of'))],
      [
        'safe speeds above a blocked band',
        trains.some(({ blocked_bands_kmh }) => blocked_bands_kmh.length > 1),
      ],
      [
        'intact judged without resistances',
        trains.some(({ status, missing }) => status !== 'undetermined' && missing.length > 0),
      ],
      [
        'every evidence given',
        trains.some(({ status, missing }) => status === 'line-speed' && !missing.length),
      ],
      ['bounds', scenarios.some(({ decision }) => decision.bounds.stiffness_factors.length > 1)],
      ['no overspeed', scenarios.some(({ decision }) => decision.overspeed_factor === 1)],
      ['own step', scenarios.some(({ decision }) => decision.round_down_to_kmh !== 5)],
      ['own limit set', scenarios.some(({ limits }) => limits.own_set !== undefined)],
      ['other named set', scenarios.some(({ limits }) => limits.set === 'en-1990-a2-ballasted')],
    ];
    expect(branches.filter(([, reached]) => !reached).map(([name]) => name)).toEqual([]);
  });
});
