import type { Chapter } from '../../book/verification-case.js';
import { momentsOverLosses } from './moments-over-losses.js';
import { movedDeckEnd } from './moved-deck-end.js';
import { newmarkTrack } from './newmark-track.js';
import { releasedSeat } from './released-seat.js';
import { slabOverMovedJoint } from './slab-over-moved-joint.js';
import { stiffTrack } from './stiff-track.js';
import { winklerRail } from './winkler-rail.js';

/** Rail, fastenings, slab and bedding. */
export const trackChapter: Chapter = {
  id: 'track',
  title: 'Track',
  cases: [
    winklerRail,
    momentsOverLosses,
    slabOverMovedJoint,
    newmarkTrack,
    stiffTrack,
    movedDeckEnd,
    releasedSeat,
  ],
};
