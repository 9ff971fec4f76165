import type { LimitSetFile } from '../schema/limits.js';

const unlimited = (value: number) => [{ up_to_kmh: null, value }];

const resistanceSource = 'effect of dead load and train not above the resistance given in the scenario';

/** Limits for ballastless track. Also the base that own limit sets and overrides are laid over. */
export const en1990A2: LimitSetFile = {
  format: 'deckpace/limits@1',
  id: 'en-1990-a2',
  title: 'EN 1990 Annex A2 and companions, ballastless track',
  limits: [
    {
      check: 'deck-acceleration',
      kind: 'safety',
      unit: 'm/s2',
      steps: unlimited(5),
      source: 'EN 1990:2002/A1 A2.4.4.2.1(4), ballastless (mem)',
    },
    {
      check: 'deck-deflection',
      kind: 'safety',
      unit: 'L/n',
      steps: unlimited(600),
      source: 'EN 1990:2002/A1 A2.4.4.2.3(1) (mem)',
    },
    {
      check: 'end-rotation',
      kind: 'safety',
      unit: 'rad',
      steps: unlimited(3.5e-3),
      source: 'common practice for one deck end on ballastless track (mem)',
    },
    {
      check: 'joint-step',
      kind: 'safety',
      unit: 'mm',
      steps: [
        { up_to_kmh: 160, value: 3 },
        { up_to_kmh: null, value: 2 },
      ],
      source: 'EN 1991-2:2003 6.5.4.5.2(3) (mem)',
    },
    {
      check: 'fastening-uplift',
      kind: 'safety',
      unit: 'kN',
      steps: unlimited(18),
      source: 'common practice: clamping of a pair of rail seats; take it from the fastening in place (mem)',
    },
    {
      check: 'bearing-uplift',
      kind: 'safety',
      unit: '-',
      steps: unlimited(1),
      source: 'pull not above the uplift resistance given in the scenario; none given: no pull at all',
    },
    { check: 'support-reaction', kind: 'safety', unit: '-', steps: unlimited(1), source: resistanceSource },
    { check: 'bending', kind: 'safety', unit: '-', steps: unlimited(1), source: resistanceSource },
    { check: 'shear', kind: 'safety', unit: '-', steps: unlimited(1), source: resistanceSource },
    { check: 'slab-bending', kind: 'safety', unit: '-', steps: unlimited(1), source: resistanceSource },
    { check: 'rail-bending', kind: 'safety', unit: '-', steps: unlimited(1), source: resistanceSource },
    {
      check: 'deck-twist',
      kind: 'safety',
      unit: 'mm',
      steps: [
        { up_to_kmh: 120, value: 4.5 },
        { up_to_kmh: 200, value: 3 },
        { up_to_kmh: null, value: 1.5 },
      ],
      source: 'EN 1990:2002/A1 A2.4.4.2.2(2), Table A2.7, over 3 m (mem)',
    },
    {
      check: 'wheel-unloading',
      kind: 'safety',
      unit: '-',
      steps: unlimited(0.6),
      source: 'common practice: dQ/Q0 (mem)',
    },
    {
      check: 'track-geometry',
      kind: 'safety',
      unit: 'mm',
      steps: [
        { up_to_kmh: 80, value: 28 },
        { up_to_kmh: 120, value: 26 },
        { up_to_kmh: 160, value: 23 },
        { up_to_kmh: 230, value: 20 },
        { up_to_kmh: 300, value: 16 },
      ],
      source:
        'EN 13848-5, longitudinal level D1 (3 m to 25 m), immediate action limit, isolated defect (mem)',
    },
    {
      check: 'body-acceleration',
      kind: 'comfort',
      unit: 'm/s2',
      steps: unlimited(1.3),
      source: 'EN 1990:2002/A1 Table A2.9, level "good"; 1.0 is "very good", 2.0 "acceptable" (mem)',
    },
    {
      check: 'ride-comfort',
      kind: 'comfort',
      unit: 'm/s2',
      steps: unlimited(0.315),
      source: 'ISO 2631-1:1997 C.2.3, upper end of "not uncomfortable", weighted r.m.s. (mem)',
    },
  ],
};
