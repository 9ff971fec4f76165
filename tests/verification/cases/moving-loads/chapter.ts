import type { Chapter } from '../../book/verification-case.js';
import { annexC } from './annex-c.js';
import { cancellationSpeeds } from './cancellation-speeds.js';
import { largestAmplification } from './largest-amplification.js';
import { movingForce } from './moving-force.js';
import { newmarkBareDeck } from './newmark-bare-deck.js';
import { trainResonance } from './train-resonance.js';

/** Axle forces on beams, against closed forms. */
export const movingLoadsChapter: Chapter = {
  id: 'moving-loads',
  title: 'Moving loads',
  cases: [movingForce, largestAmplification, cancellationSpeeds, trainResonance, newmarkBareDeck, annexC],
};
