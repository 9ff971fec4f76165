import { z } from 'zod';
import { scenarioBounds } from './bounds.js';
import { givenInThousandths, quantity } from './quantity.js';

/** Where a track lies on the deck, right being the side of y > 0 with x forwards and z down. */
const trackPlace = z.strictObject({
  eccentricity_m: quantity({
    unit: 'm',
    min: -15,
    max: 15,
    usual: [-10, 10],
    slips: [givenInThousandths('mm')],
  }),
});

/** From left to right. Absent: one track on the axis. */
export const tracks = z.array(trackPlace).min(1).max(scenarioBounds.tracks);

/** Whether trains meet on the deck; only where there is more than one track. */
export const meeting = z.enum(['all-tracks', 'one-track']);
