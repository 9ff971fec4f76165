import { z } from 'zod';
import { kmhPerMetrePerSecond } from '../speed-units.js';
import { quantity, type UnitSlip } from './quantity.js';

const metresPerSecond: UnitSlip = { factor: kmhPerMetrePerSecond, givenIn: 'm/s' };

/** Speed of the line and of the sweep, km/h. The fastest rail run ever made stayed below 600 km/h. */
export const speed = () =>
  quantity({
    unit: 'km/h',
    min: 1,
    max: 600,
    usual: [1, 450],
    slips: [metresPerSecond],
  });

/** The line the viaduct stands on. */
export const line = z.strictObject({
  speed_kmh: speed(),
  /** No line has a chainage of 10,000 km (common practice): beyond it are metres. */
  start_chainage_km: quantity({
    unit: 'km',
    min: -1000,
    max: 10000,
    usual: [0, 2000],
    slips: [{ factor: 1e-3, givenIn: 'm' }],
  }).optional(),
});

/** The speeds that are computed whatever else the refinement adds. `to_kmh` absent: overspeed factor times line speed. */
export const speeds = z.strictObject({
  from_kmh: speed().default(10),
  to_kmh: quantity({ unit: 'km/h', min: 1, max: 1200, usual: [1, 600], slips: [metresPerSecond] }).optional(),
  step_kmh: quantity({ unit: 'km/h', min: 0, aboveMin: true, max: 100 }).default(5),
});
