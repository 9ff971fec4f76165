import type { AxleRow } from './load-model.js';
import type { HslmAId } from './load-model-ids.js';

interface HslmATrain {
  readonly intermediateCoaches: number;
  /** D, bogie centre to bogie centre of a coach. */
  readonly coachLength_m: number;
  /** d, wheelbase of the coach bogies. */
  readonly bogieWheelbase_m: number;
  readonly axleLoad_kN: number;
}

const source = 'EN 1991-2:2003 Table 6.3 and Figure 6.12 (mem)';

const row = (
  intermediateCoaches: number,
  coachLength_m: number,
  bogieWheelbase_m: number,
  axleLoad_kN: number,
): HslmATrain => ({ intermediateCoaches, coachLength_m, bogieWheelbase_m, axleLoad_kN });

/** EN 1991-2:2003 Table 6.3 (mem). */
export const hslmATrains: Readonly<Record<HslmAId, HslmATrain>> = {
  'HSLM-A1': row(18, 18, 2.0, 170),
  'HSLM-A2': row(17, 19, 3.5, 200),
  'HSLM-A3': row(16, 20, 2.0, 180),
  'HSLM-A4': row(15, 21, 3.0, 190),
  'HSLM-A5': row(14, 22, 2.0, 170),
  'HSLM-A6': row(13, 23, 2.0, 180),
  'HSLM-A7': row(13, 24, 2.0, 190),
  'HSLM-A8': row(12, 25, 2.5, 190),
  'HSLM-A9': row(11, 26, 2.0, 210),
  'HSLM-A10': row(11, 27, 2.0, 210),
};

/** Axles of the power car behind its first one, and from its last axle to the first of the end coach; Figure 6.12 (mem). */
const powerCar = { axles_m: [0, 3, 14, 17], toEndCoach_m: 3.525 };

/**
 * The axles of an HSLM-A train: power car, end coach, N intermediate coaches on shared bogies, end coach, power car;
 * 2 N + 14 axles, symmetric.
 */
export function hslmA(id: HslmAId): AxleRow {
  const { intermediateCoaches, coachLength_m, bogieWheelbase_m, axleLoad_kN } = hslmATrains[id];
  const positions = [...powerCar.axles_m];
  const firstBogie = powerCar.axles_m.at(-1)! + powerCar.toEndCoach_m + bogieWheelbase_m / 2;
  for (let bogie = 0; bogie <= intermediateCoaches + 2; bogie++) {
    const centre = firstBogie + bogie * coachLength_m;
    positions.push(centre - bogieWheelbase_m / 2, centre + bogieWheelbase_m / 2);
  }
  const tail = positions.at(-1)! + powerCar.toEndCoach_m;
  positions.push(...powerCar.axles_m.map((at) => tail + at));
  return {
    positions,
    loads: positions.map(() => axleLoad_kN * 1e3),
    source,
  };
}
