import type { AssessmentModel } from '../scenarios/assessment-model.js';
import { dampingRatio } from '../scenarios/library/damping.js';
import type { CaseResult } from '../scenarios/result.js';
import type { Scenario } from '../scenarios/scenario.js';
import { trainName } from '../scenarios/translation/trains.js';
import { hasTorsion } from '../solver/mesh/mesh-nodes.js';
import { isTrackLoss } from './assess/track-loss.js';
import { layerNames, uncheckedLayers, unknownLayers } from './assess/unchecked-track.js';
import { listed } from './assess/wording.js';
import { isStrengthCompared } from './checks/strength-checks.js';
import { mildLimitCautions } from './mild-limits.js';
import { cautionsWithTorsion, standardCautions } from './report/cautions.js';

/** What a reader of the result must know before anybody acts on it: what holds for all results, then what this scenario calls for. */
export function cautionsOf(
  scenario: Scenario,
  model: AssessmentModel,
  cases: readonly CaseResult[],
): string[] {
  const cautions = [...(hasTorsion(model.viaduct) ? cautionsWithTorsion : standardCautions)];
  const { stiffnessFactors, massFactors, dampingFactors } = model.bounds;
  if (stiffnessFactors.length + massFactors.length + dampingFactors.length === 3) {
    cautions.push(
      'No bounds of stiffness, mass and damping were configured: the speeds hold for nominal properties only (decision.bounds).',
    );
  }
  cautions.push(
    ...dampingCautions(scenario),
    ...mildLimitCautions(scenario, model),
    ...overspeedCautions(model),
  );
  cautions.push(...bareEndCautions(model));
  cautions.push(...lostTrackCautions(model), ...movedTrackCautions(model, cases));
  cautions.push(...slabMomentCautions(model));
  cautions.push(...irregularityCautions(model), ...torsionCautions(model));
  cautions.push(...strengthCautions(model, cases), ...asBuiltCautions(model));
  cautions.push(...rememberedCautions(scenario), ...directionCautions(scenario));
  return cautions;
}

/** Damping decides how high a resonance is; what a designer may count on without measurement is little. */
function dampingCautions({ deck: { damping_ratio: given, spans } }: Scenario): string[] {
  const lengths = spans.map(({ length_m }) => length_m);
  const most = dampingRatio('reinforced-concrete', lengths);
  if (given === undefined || given <= most) return [];
  return [
    `The damping ratio given for the deck (${percent(given)}) is above the lower limit for design of every material (EN 1991-2 Table 6.6, mem; ${percent(most)} for reinforced concrete of this span), and vibration at resonance falls as it grows: rely on these speeds only where it was measured on this deck under trains.`,
  ];
}

/** What trains run faster than they may, and what resonances lie a little above, is in the factor. */
function overspeedCautions({ overspeedFactor }: AssessmentModel): string[] {
  return overspeedFactor < 1.2
    ? [
        `Speeds are safe to ${overspeedFactor} times what is permitted; bridges are designed to 1.2 times the line speed (EN 1991-2 6.4.6.2, mem): the rest of that margin against overspeed and resonances just above is not there.`,
      ]
    : [];
}

/** A wheel that steps onto a deck end excites what vibrates faster than the modes that are followed. */
function bareEndCautions({ viaduct: { track, supports, substructure } }: AssessmentModel): string[] {
  if (track) return [];
  const last = supports.length - 1;
  const ends = supports.filter(({ joint }, index) => index === 0 || index === last || joint);
  const yielding = ends.filter(
    ({ id, stiffness }) => substructure?.supports.includes(id) || Number.isFinite(stiffness),
  );
  return yielding.length === 0
    ? []
    : [
        `No track was given, and deck ends stand on supports that yield (${listed(yielding.map(({ id }) => id))}): wheels step onto them at once, and what this excites above the modes that are followed is not in the forces. In a case worked out with more modes the train's part of reactions and shears was a tenth smaller than it should be, and its uplift two fifths. Give the track where uplift, reactions or shear decide.`,
      ];
}

const percent = (ratio: number): string => `${Number((100 * ratio).toPrecision(3))} %`;

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

/** Where the deck moves, slab and rails bend with it; what nobody gave a resistance of cannot be judged. */
function movedTrackCautions(
  { damageCases, viaduct }: AssessmentModel,
  cases: readonly CaseResult[],
): string[] {
  const { track } = viaduct;
  if (!track) return [];
  const moved = damageCases.filter(({ effects }) => effects.some((effect) => !isTrackLoss(effect)));
  const byLayers = new Map<string, string[]>();
  for (const { id, resistance } of moved.filter(({ id }) => runsTrains(cases, id))) {
    const layers = layerNames(unknownLayers(track, resistance));
    byLayers.set(layers, [...(byLayers.get(layers) ?? []), id]);
  }
  return [...byLayers].map(([layers, ids]) => {
    const unchecked = layers === '' ? 'shear of slab and rails' : `the strength of ${layers}`;
    return `Where the deck has moved (${listed(ids)}), slab and rails bend with it, most of all over joints and deck ends that have settled or turned: ${unchecked} there was not checked. Inspect both before trains run.`;
  });
}

const runsTrains = (cases: readonly CaseResult[], id: string): boolean =>
  cases.some(
    ({ damage_case, trains }) =>
      damage_case === id && trains.some(({ permitted_speed_kmh }) => permitted_speed_kmh !== null),
  );

/** The steps of the figure from which HSLM-B has its spacing are not known well enough to be relied on. */
function rememberedCautions({ trains }: Scenario): string[] {
  const names = trains.filter(({ load_model }) => load_model === 'HSLM-B').map(trainName);
  return names.length === 0
    ? []
    : [
        `The spacing of HSLM-B (${listed(names)}) is remembered coarsely (EN 1991-2 Figure 6.14, mem), and a spacing next to it may permit less: compare it with the standard, and assess the spacings of the figure as trains of axles, before anybody relies on a speed given here.`,
      ];
}

/** What the mesh misses of the slab's moments beside the edges of a loss, see solver/README.md, Track that bends. */
function slabMomentCautions({ damageCases }: AssessmentModel): string[] {
  const judged = damageCases.filter(({ effects, resistance }) => {
    const { slabSagging = null, slabHogging = null } = resistance?.track ?? {};
    return (
      effects.some(({ kind }) => kind === 'bedding-loss') && (slabSagging !== null || slabHogging !== null)
    );
  });
  return judged.length > 0
    ? [
        `Beside lost bedding (${listed(judged.map(({ id }) => id))}) moments of the track slab come out up to 2 % small, and up to 4 % on bedding of 1e9 N/m2, since an edge of the loss is known to half a seat spacing: leave this room in the resistance of the slab.`,
      ]
    : [];
}

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

function irregularityCautions({ trains, irregularity, viaduct }: AssessmentModel): string[] {
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
  return [...underVehicles(irregularity), ...(viaduct.track ? [truncatedTrack] : []), ...unevenUnderAxles];
}

/** What comparisons with models of the whole system have shown, see solver/README.md, Modes under wheels. */
const truncatedTrack =
  'Trains of vehicles feel the track with its modes to 150 Hz. Against models of the whole system wheel unloading came out between 0.02 of the wheel load too low and 0.05 too high, over dips, lost fastenings and lost bedding: leave that room where it decides.';

function underVehicles(irregularity: AssessmentModel['irregularity']): string[] {
  return irregularity
    ? [`Trains of vehicles run over ${irregularity.description}`]
    : [
        'Trains of vehicles run over a rail without irregularities: wheel unloading and comfort of the intact line are optimistic.',
      ];
}
