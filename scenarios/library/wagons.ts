import { gravity } from '../../solver/viaduct/gravity.js';
import type { AxleRow } from './load-model.js';
import type { WagonId } from './load-model-ids.js';

interface LineCategory {
  readonly axleLoad_t: number;
  readonly loadPerLength_t_per_m: number;
}

const source = 'EN 15528:2015 Table 1 and Annex A, reference wagons (mem)';

const category = (axleLoad_t: number, loadPerLength_t_per_m: number): LineCategory => ({
  axleLoad_t,
  loadPerLength_t_per_m,
});

/** Line categories: mass per axle and per metre. EN 15528:2015 Table 1 (mem). */
export const lineCategories: Readonly<Record<WagonId, LineCategory>> = {
  A: category(16, 5.0),
  B1: category(18, 5.0),
  B2: category(18, 6.4),
  C2: category(20, 6.4),
  C3: category(20, 7.2),
  C4: category(20, 8.0),
  D2: category(22.5, 6.4),
  D3: category(22.5, 7.2),
  D4: category(22.5, 8.0),
  E4: category(25, 8.0),
  E5: category(25, 8.8),
};

/** Buffer face to first axle, and wheelbase of a bogie; EN 15528:2015 Annex A (mem). */
const wagon = { bufferToAxle_m: 1.5, bogieWheelbase_m: 1.8 };
const trainLength_m = 400;

/** Length over buffers of a reference wagon, m: four axles at the load per metre of the category. */
export function wagonLength(id: WagonId): number {
  const { axleLoad_t, loadPerLength_t_per_m } = lineCategories[id];
  return (4 * axleLoad_t) / loadPerLength_t_per_m;
}

/** A row of equal reference wagons; without a count, as many as make at least 400 m. */
export function wagonRow(id: WagonId, count?: number): AxleRow {
  const length = wagonLength(id);
  const wagons = count ?? Math.ceil(trainLength_m / length - 1e-9);
  const first = wagon.bufferToAxle_m;
  const last = length - wagon.bufferToAxle_m;
  const inWagon = [first, first + wagon.bogieWheelbase_m, last - wagon.bogieWheelbase_m, last];
  const positions = Array.from({ length: wagons }, (_, index) =>
    inWagon.map((at) => index * length + at - first),
  ).flat();
  const load = lineCategories[id].axleLoad_t * 1e3 * gravity;
  return {
    positions,
    loads: positions.map(() => load),
    source,
  };
}
