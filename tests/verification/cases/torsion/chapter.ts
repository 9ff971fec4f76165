import type { Chapter } from '../../book/verification-case.js';
import { eccentricMovingForce } from './eccentric-moving-force.js';
import { oneBearingLost } from './one-bearing-lost.js';
import { torsionalFrequenciesCase } from './torsional-frequencies.js';

/** Decks that twist: tracks beside the axis and pairs of bearings. */
export const torsionChapter: Chapter = {
  id: 'torsion',
  title: 'Torsion',
  cases: [torsionalFrequenciesCase, eccentricMovingForce, oneBearingLost],
};
