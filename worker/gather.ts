import type { AssessmentModel } from '../scenarios/assessment-model.js';
import type { CaseResult, Recommendation, Result, Status, TrainResult } from '../scenarios/result.js';
import { translateScenario } from '../scenarios/translate.js';
import { supportPositions } from '../solver/statics/dead-load.js';
import { lowerOf } from './assess/comfort.js';
import { speedsHold } from './assess/speeds-hold.js';
import { strengthBeside } from './assess/strength-beside.js';
import { isTrackLoss } from './assess/track-loss.js';
import { checkName, uncheckedStrength } from './assess/wording.js';
import type { GatherResult } from './assessment.js';
import { cautionsOf } from './cautions-of.js';
import { isStrengthCompared } from './checks/strength-checks.js';
import { engineName } from './engine-version.js';
import { provenance } from './provenance.js';
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
    cautions: cautionsOf(scenario, model, cases),
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
      ...stretchOf(model, one.damage_case, trains),
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

/** The deck, and the track beyond its ends as far as the case has lost bedding or fastenings there, or one of the trains fails worst there. */
function stretchOf(
  { viaduct, startChainageKm: start, damageCases }: AssessmentModel,
  id: string,
  trains: readonly TrainResult[],
): Pick<Recommendation, 'from_chainage_km' | 'to_chainage_km' | 'from_m' | 'to_m'> {
  let from = 0;
  let to = supportPositions(viaduct).at(-1)!;
  for (const loss of damageCases.find((one) => one.id === id)?.effects.filter(isTrackLoss) ?? []) {
    from = Math.min(from, loss.from);
    to = Math.max(to, loss.to);
  }
  for (const { kind, utilisation, at_m: at } of trains.flatMap(({ checks }) => checks)) {
    if (kind !== 'safety' || at === null || (utilisation ?? 0) <= 1) continue;
    from = Math.min(from, at);
    to = Math.max(to, at);
  }
  const chainage = (x: number) => (start === null ? null : start + x / 1e3);
  return { from_chainage_km: chainage(from), to_chainage_km: chainage(to), from_m: from, to_m: to };
}

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
