import type { MovingTrain, StaticLoadModel } from '../../solver/viaduct/model.js';
import type { AssessmentModel } from '../assessment-model.js';
import { determinantLength, dynamicFactor, localDynamicFactor } from '../library/dynamic-factor.js';
import type { AxleRow } from '../library/load-model.js';
import type { StaticLoadModelId } from '../library/load-model-ids.js';
import { axleRow, classOfLoadModel, isStaticLoadModel } from '../library/load-models.js';
import { staticLoadModels, staticUpTo } from '../library/static-load-models.js';
import type { Scenario, ScenarioTrain } from '../scenario.js';
import { consistOf } from './vehicles.js';

/** Class of a train of own axles that gives none. */
export const unclassified = 'unclassified';

/** The trains in file order, load models resolved. */
export function trainsOf(scenario: Scenario): AssessmentModel['trains'] {
  return scenario.trains.map((train) => {
    const model = train.load_model;
    return model !== undefined && isStaticLoadModel(model)
      ? { kind: 'static', model: staticModelOf(train, model, scenario), upToKmh: staticUpTo.speed_kmh }
      : movingEntry(train, scenario);
  });
}

function movingEntry(train: ScenarioTrain, scenario: Scenario): AssessmentModel['trains'][number] {
  const consist = consistOf(train);
  if (consist === null) return { kind: 'moving', train: movingTrainOf(train, scenario), consist };
  const positions = consist.wheels.map(({ position }) => position);
  const loads = consist.wheels.map(({ load }) => load);
  return {
    kind: 'moving',
    train: {
      id: trainName(train),
      class: train.class ?? unclassified,
      positions: Float64Array.from(positions),
      loads: Float64Array.from(loads),
    },
    consist,
  };
}

/** The name a train goes by: its id, else its load model. */
export function trainName(train: ScenarioTrain): string {
  return train.id ?? train.load_model ?? '';
}

function movingTrainOf(train: ScenarioTrain, scenario: Scenario): MovingTrain {
  const { positions, loads } = axlesOf(train, scenario);
  const total = positions.at(-1) ?? 0;
  return {
    id: trainName(train),
    class:
      train.class ?? (train.load_model === undefined ? unclassified : classOfLoadModel(train.load_model)),
    positions: Float64Array.from(train.reverse ? positions.map((at) => total - at).reverse() : positions),
    loads: Float64Array.from(train.reverse ? [...loads].reverse() : loads),
  };
}

function axlesOf(train: ScenarioTrain, scenario: Scenario): Pick<AxleRow, 'positions' | 'loads'> {
  const model = train.load_model;
  if (model === undefined || isStaticLoadModel(model)) {
    const axles = train.axles ?? [];
    return { positions: axles.map((axle) => axle.at_m), loads: axles.map((axle) => axle.load_kN * 1e3) };
  }
  const shortestSpan = Math.min(...scenario.deck.spans.map((span) => span.length_m));
  return axleRow(model, shortestSpan, train.wagons);
}

function staticModelOf(train: ScenarioTrain, model: StaticLoadModelId, scenario: Scenario): StaticLoadModel {
  const { axles, lineLoads } = staticLoadModels[model];
  const maintenance = train.dynamic_factor ?? 'phi3';
  return {
    id: trainName(train),
    class: train.class ?? classOfLoadModel(model),
    positions: Float64Array.from(axles, (axle) => axle.at_m),
    loads: Float64Array.from(axles, (axle) => axle.load_kN * 1e3),
    lineLoads: lineLoads.map((line) => ({
      load: line.load_kN_per_m * 1e3,
      length: line.length_m,
      gap: line.gap_m,
    })),
    dynamicFactor: dynamicFactor(maintenance, determinantLength(continuousUnits(scenario))),
    trackFactor: localDynamicFactor(maintenance),
  };
}

/** Span lengths (m) grouped by the joints between them. */
function continuousUnits(scenario: Scenario): readonly (readonly number[])[] {
  const units: number[][] = [];
  for (const [index, span] of scenario.deck.spans.entries()) {
    const unit = units.at(-1);
    if (unit === undefined || scenario.supports[index]?.joint) units.push([span.length_m]);
    else unit.push(span.length_m);
  }
  return units;
}
