import { hslmA, hslmATrains } from './hslm-a.js';
import { hslmB, hslmBLongestSpan } from './hslm-b.js';
import type { AxleRow } from './load-model.js';
import {
  type HslmAId,
  hslmAIds,
  type LoadModelId,
  type StaticLoadModelId,
  staticLoadModelIds,
  type WagonId,
  wagonIds,
} from './load-model-ids.js';
import { staticLoadModels, staticUpTo } from './static-load-models.js';
import { lineCategories, wagonLength, wagonRow } from './wagons.js';

/** One line of the library as a person reads it. */
export interface LibraryEntry {
  readonly id: LoadModelId;
  readonly class: string;
  readonly description: string;
  readonly source: string;
}

/** True for the load models that are not a moving axle row. */
export function isStaticLoadModel(id: LoadModelId): id is StaticLoadModelId {
  return staticLoadModelIds.some((one) => one === id);
}

function isHslmA(id: LoadModelId): id is HslmAId {
  return hslmAIds.some((one) => one === id);
}

/** Class of a load model where the scenario gives none. */
export function classOfLoadModel(id: LoadModelId): 'passenger' | 'freight' {
  return isHslmA(id) || id === 'HSLM-B' ? 'passenger' : 'freight';
}

/** The axle row of a moving load model. `shortestSpan` (m) chooses HSLM-B's spacing, `wagons` the number of freight wagons. */
export function axleRow(
  id: Exclude<LoadModelId, StaticLoadModelId>,
  shortestSpan: number,
  wagons?: number,
): AxleRow {
  if (isHslmA(id)) return hslmA(id);
  return id === 'HSLM-B' ? hslmB(shortestSpan) : wagonRow(id, wagons);
}

/** Every built-in load model, described, with its source. */
export function libraryTrains(): readonly LibraryEntry[] {
  return [
    ...hslmAIds.map((id) => entry(id, describeHslmA(id), hslmA(id).source)),
    entry(
      'HSLM-B',
      `20 forces of 170 kN, spacing by span, for spans below ${hslmBLongestSpan} m`,
      hslmB(1).source,
    ),
    ...staticLoadModelIds.map((id) =>
      entry(id, describeStatic(id), `${staticLoadModels[id].source}; ${staticUpTo.source}`),
    ),
    ...wagonIds.map((id) => entry(id, describeWagon(id), wagonRow(id, 1).source)),
  ];
}

function entry(id: LoadModelId, description: string, source: string): LibraryEntry {
  return { id, class: classOfLoadModel(id), description, source };
}

function describeHslmA(id: HslmAId): string {
  const train = hslmATrains[id];
  const row = hslmA(id);
  return (
    `${train.intermediateCoaches} coaches of ${train.coachLength_m} m between power cars, ${row.positions.length} axles of ` +
    `${train.axleLoad_kN} kN, bogie wheelbase ${train.bogieWheelbase_m} m, ${row.positions.at(-1)!.toFixed(1)} m`
  );
}

function describeStatic(id: StaticLoadModelId): string {
  const { axles, lineLoads } = staticLoadModels[id];
  const group = axles.length > 0 ? [`${axles.length} axles of ${axles[0]!.load_kN} kN`] : [];
  const lines = lineLoads.map(
    ({ load_kN_per_m, length_m }) =>
      `${load_kN_per_m} kN/m ${length_m === null ? 'unlimited' : `over ${length_m} m`}`,
  );
  return `${[...group, ...lines].join(', ')}; static, with dynamic factor, up to ${staticUpTo.speed_kmh} km/h`;
}

function describeWagon(id: WagonId): string {
  const { axleLoad_t, loadPerLength_t_per_m } = lineCategories[id];
  return `four-axle wagons of ${axleLoad_t} t per axle and ${loadPerLength_t_per_m.toFixed(1)} t/m, ${wagonLength(id).toFixed(2)} m long`;
}
