import type { AssessmentModel } from '../scenarios/assessment-model.js';
import type { CaseResult, Recommendation, Result, Status, TrainResult } from '../scenarios/result.js';
import type { Scenario } from '../scenarios/scenario.js';
import { translateScenario } from '../scenarios/translate.js';
import { hasTorsion } from '../solver/mesh/mesh-nodes.js';
import { supportPositions } from '../solver/statics/dead-load.js';
import type { DamageEffect } from '../solver/viaduct/model.js';
import { lowerOf } from './assess/comfort.js';
import { speedsHold } from './assess/speeds-hold.js';
import { strengthBeside } from './assess/strength-beside.js';
import { layerNames, uncheckedLayers } from './assess/unchecked-track.js';
import { checkName, listed, uncheckedStrength } from './assess/wording.js';
import type { GatherResult } from './assessment.js';
import { isStrengthCompared } from './checks/strength-checks.js';
import { engineName } from './engine-version.js';
import { provenance } from './provenance.js';
import { cautionsWithTorsion, standardCautions } from './report/cautions.js';
import { trainIdentity } from './train-id.js';

/** Puts parts together in the scenario's order, whatever order they came in, and draws the recommendation per class. */
export const gatherResult: GatherResult = (scenario, parts, scenarioSha256) => {
  const model = translateScenario(scenario);
  const cases: CaseResult[] = [];
  for (const { id } of model.damageCases) {
    const own = parts.filter(({ part }) => part.damageCase === id);
    const first = own[0];
    if (!first) continue;
    const trains = new Map(own.flatMap((part) => part.trains.map((train) => [train.train, train])));
    cases.push({
      ...first.damageCase,
      trains: model.trains.flatMap((entry) => trains.get(trainIdentity(entry).id) ?? []),
    });
  }
  const recommendations = cases.flatMap((one) => recommendationsOf(model, one));
  return {
    format: 'deckpace/result@1',
    scenario_sha256: scenarioSha256,
    engine: engineName(),
    provenance: provenance(),
    title: model.title,
    line_speed_kmh: model.lineSpeedKmh,
    cases,
    speeds_hold: speedsHold(model),
    recommendations: recommendations.map((given) => withSurprise(given, recommendations)),
    cautions: [
      ...(hasTorsion(model.viaduct) ? cautionsWithTorsion : standardCautions),
      ...cautionsOf(model, cases),
      ...directionCautions(scenario),
    ],
  } satisfies Result;
};

const severity: Readonly<Record<Status, number>> = {
  'line-speed': 0,
  restricted: 1,
  undetermined: 2,
  closed: 3,
};

/** Per class the minimum over its trains; a class is closed by one closed train and undetermined by one undetermined. */
function recommendationsOf(model: AssessmentModel, one: CaseResult): Recommendation[] {
  const classes = [...new Set(one.trains.map((train) => train.class))];
  return classes.map((name) => {
    const trains = one.trains.filter((train) => train.class === name);
    const worst = trains.reduce(slower);
    return {
      damage_case: one.damage_case,
      class: name,
      status: worst.status,
      permitted_speed_kmh: worst.permitted_speed_kmh,
      comfort_speed_kmh: lowerOf(leastComfort(trains), worst.permitted_speed_kmh),
      governing: worst.governing,
      governing_train: worst.train,
      ...stretchOf(model, one.damage_case),
      reason: worst.reason + strengthBeside(worst, trains) + uncheckedBeside(worst, trains),
    };
  });
}

/** What was not checked for another train of the class, where the reason of the slowest does not say it. */
function uncheckedBeside(worst: TrainResult, trains: readonly TrainResult[]): string {
  if (worst.missing.length > 0) return '';
  const open = trains.filter(({ missing }) => missing.length > 0);
  const compared = open.some(({ checks }) => isStrengthCompared(checks));
  return uncheckedStrength([...new Set(open.flatMap(({ missing }) => missing))], compared);
}

/** The deck, and the track beyond its ends as far as the case has lost bedding or fastenings there. */
function stretchOf(
  { viaduct, startChainageKm: start, damageCases }: AssessmentModel,
  id: string,
): Pick<Recommendation, 'from_chainage_km' | 'to_chainage_km' | 'from_m' | 'to_m'> {
  let from = 0;
  let to = supportPositions(viaduct).at(-1)!;
  for (const loss of damageCases.find((one) => one.id === id)?.effects.filter(isTrackLoss) ?? []) {
    from = Math.min(from, loss.from);
    to = Math.max(to, loss.to);
  }
  const chainage = (x: number) => (start === null ? null : start + x / 1e3);
  return { from_chainage_km: chainage(from), to_chainage_km: chainage(to), from_m: from, to_m: to };
}

type TrackLoss = Extract<DamageEffect, { kind: 'bedding-loss' | 'fastening-loss' }>;

const isTrackLoss = (effect: DamageEffect): effect is TrackLoss =>
  effect.kind === 'bedding-loss' || effect.kind === 'fastening-loss';

/** The least comfort speed of those trains whose comfort was judged; null where none was, or where one passes at no speed. */
function leastComfort(trains: readonly TrainResult[]): number | null {
  const judged = trains.filter(({ checks }) => checks.some(({ kind }) => kind === 'comfort'));
  const speeds = judged.flatMap(({ comfort_speed_kmh }) => comfort_speed_kmh ?? []);
  return judged.length === 0 || speeds.length < judged.length ? null : Math.min(...speeds);
}

/** Damage that seems to allow more than the intact deck does is said out loud: it is no gain that anybody should count on. */
function withSurprise(given: Recommendation, all: readonly Recommendation[]): Recommendation {
  const intact = all.find((other) => other.damage_case === 'intact' && other.class === given.class);
  const least = intact?.permitted_speed_kmh ?? 0;
  if (!intact || (given.permitted_speed_kmh ?? 0) <= least) return given;
  const governs = intact.governing === null ? '' : `, where ${checkName(intact.governing)} governs`;
  const speed = intact.permitted_speed_kmh === null ? 'is closed' : `permits ${least} km/h`;
  return {
    ...given,
    reason: `${given.reason} This is more than for the intact deck, which ${speed}${governs}: the damage has moved a resonance or the load away from it.`,
  };
}

function slower(a: TrainResult, b: TrainResult): TrainResult {
  if (severity[a.status] !== severity[b.status]) return severity[a.status] > severity[b.status] ? a : b;
  return (b.permitted_speed_kmh ?? 0) < (a.permitted_speed_kmh ?? 0) ? b : a;
}

function cautionsOf(model: AssessmentModel, cases: readonly CaseResult[]): string[] {
  const cautions: string[] = [];
  const { stiffnessFactors, massFactors, dampingFactors } = model.bounds;
  if (stiffnessFactors.length + massFactors.length + dampingFactors.length === 3) {
    cautions.push(
      'No bounds of stiffness, mass and damping were configured: the speeds hold for nominal properties only (decision.bounds).',
    );
  }
  cautions.push(...lostTrackCautions(model), ...movedTrackCautions(model, cases));
  cautions.push(...irregularityCautions(model), ...torsionCautions(model));
  cautions.push(...strengthCautions(model, cases), ...asBuiltCautions(model));
  return cautions;
}

/** Wherever evidence is missing, whatever else was given. */
function strengthCautions({ resistance }: AssessmentModel, cases: readonly CaseResult[]): string[] {
  const unknown = cases.filter(({ trains }) => trains.some(({ missing }) => missing.length > 0));
  const ids = unknown.map(({ damage_case: id }) => id).filter((id) => resistance !== null || id !== 'intact');
  const compared = unknown.some(({ trains }) => trains.some(({ checks }) => isStrengthCompared(checks)));
  return [
    ...(resistance === null
      ? ['No resistances were given: the strength of the intact deck was not checked.']
      : []),
    ...(ids.length > 0
      ? [
          `Strength was not checked ${compared ? 'in full' : 'at all'} (${listed(ids)}): each train lists what was not given, and no speed given there means that the structure can carry the train.`,
        ]
      : []),
  ];
}

/** Whoever gives a resistance gives it for the structure as it was, unless the case has one of its own. */
function asBuiltCautions({ damageCases }: AssessmentModel): string[] {
  return damageCases.flatMap(({ id, supportsJudgedAsBuilt }) =>
    supportsJudgedAsBuilt.length === 0
      ? []
      : [
          `${id}: nothing was given for what ${listed(supportsJudgedAsBuilt)} can carry after the damage, and the resistance of the intact structure was taken: inspect pier, bearings and foundation before trains run, and give the case's own (damage_cases resistance).`,
        ],
  );
}

/** Where layers of the track are lost, slab and rails bend over what they were not made for. */
function lostTrackCautions({ damageCases, viaduct }: AssessmentModel): string[] {
  const { track } = viaduct;
  if (!track) return [];
  const byLayers = new Map<string, string[]>();
  for (const damageCase of damageCases.filter(({ effects }) => effects.some(isTrackLoss))) {
    const layers = layerNames(uncheckedLayers(track, damageCase));
    byLayers.set(layers, [...(byLayers.get(layers) ?? []), damageCase.id]);
  }
  return [...byLayers].map(([layers, ids]) => {
    const strength = layers === '' ? 'shear of slab and rails' : `the strength of ${layers}`;
    return `Where bedding or fastenings are lost (${listed(ids)}), ${strength} over what has gone was not checked, nor whether the loss spreads under traffic: inspect both before trains run, at any speed.`;
  });
}

/** Where deck ends settle or turn, slab and rails bend over them; what they carry is judged over losses of the track only. */
function movedTrackCautions(
  { damageCases, viaduct }: AssessmentModel,
  cases: readonly CaseResult[],
): string[] {
  if (!viaduct.track) return [];
  const moved = damageCases.filter(({ effects }) => effects.some((effect) => !isTrackLoss(effect)));
  const ids = moved.map(({ id }) => id).filter((id) => runsTrains(cases, id));
  return ids.length === 0
    ? []
    : [
        `Where the deck has moved (${listed(ids)}), slab and rails bend over joints and deck ends that have settled or turned. Their strength there was not checked, whatever resistance was given for them: inspect both before trains run.`,
      ];
}

const runsTrains = (cases: readonly CaseResult[], id: string): boolean =>
  cases.some(
    ({ damage_case, trains }) =>
      damage_case === id && trains.some(({ permitted_speed_kmh }) => permitted_speed_kmh !== null),
  );

/** Whoever asks for one direction of travel gets both. */
function directionCautions({ damage_cases: given }: Scenario): string[] {
  const ids = given.filter(({ reverse }) => reverse).map(({ id }) => id);
  return ids.length === 0
    ? []
    : [
        `The key reverse of a damage case (${listed(ids)}) has no effect: every case is assessed in both directions, and the worse is shown. To let the other end lead, turn the train (trains reverse).`,
      ];
}

function torsionCautions({ viaduct, trains, meeting }: AssessmentModel): string[] {
  const cautions: string[] = [];
  if (hasTorsion(viaduct)) {
    cautions.push(
      'The strength of the deck in torsion was not checked; in the walls of a section it adds to shear.',
    );
  }
  if ((viaduct.tracks?.length ?? 1) < 2) return cautions;
  if (meeting === 'one-track') {
    cautions.push(
      'Trains were taken not to meet on the deck (meeting: one-track): operating rules have to keep them from it.',
    );
  } else if (trains.length > 1) {
    cautions.push(
      'Trains of different kinds that meet on the deck were not assessed: every train was taken to meet its like at the same speed, at the worst distance.',
    );
  }
  return cautions;
}

function irregularityCautions({ trains, irregularity }: AssessmentModel): string[] {
  const moving = trains.filter((entry) => entry.kind === 'moving');
  const vehicles = moving.some(({ consist }) => consist);
  const unevenUnderAxles = moving.some(({ consist }) => !consist)
    ? [
        "Dynamic effects of trains given by their axles, load models that run included, are those on a perfect track: no allowance for track irregularities (phi'' of EN 1991-2 Annex C, mem) is in them. Leave room for it in the resistances, or give the train by its vehicles with a track irregularity.",
      ]
    : [];
  if (!vehicles) {
    const unused = 'The track irregularity was not used: no train of the scenario is given by its vehicles.';
    return irregularity ? [unused, ...unevenUnderAxles] : unevenUnderAxles;
  }
  return [...underVehicles(irregularity), ...unevenUnderAxles];
}

function underVehicles(irregularity: AssessmentModel['irregularity']): string[] {
  return irregularity
    ? [`Trains of vehicles run over ${irregularity.description}`]
    : [
        'Trains of vehicles run over a rail without irregularities: wheel unloading and comfort of the intact line are optimistic.',
      ];
}
