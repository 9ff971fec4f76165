import type { Chapter } from '../../book/verification-case.js';
import { bodyFrequencies } from './body-frequencies.js';
import { comfortWeightings } from './comfort-weightings.js';
import { orderOfConvergence } from './coupled-order-of-convergence.js';
import { energyBalance } from './energy-balance.js';
import { irregularTrack } from './irregular-track.js';
import { newmarkSlabWheels } from './newmark-slab-wheels.js';
import { newmarkWheels } from './newmark-wheels.js';
import { softSuspension } from './soft-suspension.js';
import { sprungMass } from './sprung-mass.js';
import { wavyTrack } from './wavy-track.js';

/** Vehicles on springs, alone and coupled with the structure. */
export const vehiclesChapter: Chapter = {
  id: 'vehicles',
  title: 'Vehicles',
  cases: [
    bodyFrequencies,
    wavyTrack,
    irregularTrack,
    sprungMass,
    energyBalance,
    softSuspension,
    newmarkWheels,
    newmarkSlabWheels,
    orderOfConvergence,
    comfortWeightings,
  ],
};
