import { z } from 'zod';
import { gravity } from '../../solver/viaduct/gravity.js';
import { loadModelIds } from '../library/load-model-ids.js';
import { scenarioBounds } from './bounds.js';
import { identifier } from './identifier.js';
import { givenInThousandths, quantity } from './quantity.js';
import { trainVehicles } from './vehicle.js';

const axle = z.strictObject({
  /** Behind the leading axle. */
  at_m: quantity({ unit: 'm', min: 0, max: 5000, usual: [0, 2000], slips: [givenInThousandths('mm')] }),
  /** The lightest railway axles carry about 30 kN; less is a load in tonnes. */
  load_kN: quantity({
    unit: 'kN',
    min: 30,
    max: 1000,
    usual: [30, 400],
    slips: [
      { factor: gravity, givenIn: 't' },
      givenInThousandths('N'),
      { factor: gravity / 1e3, givenIn: 'kg' },
      { factor: 1000, givenIn: 'MN' },
    ],
  }),
});

/** A train of the library (`load_model`), a row of own axles (`axles`) or vehicles on springs (`vehicles`), exactly one; the latter two with an `id`. */
const train = z.strictObject({
  id: identifier.optional(),
  class: identifier.optional(),
  load_model: z.enum(loadModelIds).optional(),
  /** Wagons of a freight load model; absent: as many as make about 400 m. */
  wagons: quantity({ unit: 'wagons', min: 1, max: scenarioBounds.wagonsPerTrain, integer: true }).optional(),
  /** Dynamic factor of LM71, SW/0 and SW/2: phi2 for carefully maintained track, phi3 for standard maintenance. */
  dynamic_factor: z.enum(['phi2', 'phi3']).optional(),
  axles: z.array(axle).min(1).max(scenarioBounds.axlesPerTrain).optional(),
  vehicles: trainVehicles.optional(),
  /** Turned end to end: the last axle leads. */
  reverse: z.boolean().default(false),
});
export type Train = z.infer<typeof train>;

export const trains = z.array(train).min(1).max(scenarioBounds.trains);
