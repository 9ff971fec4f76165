import { weightingFactor, weightingWb, weightingWk } from '../../../../solver/comfort/frequency-weighting.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';

/** Nominal one-third octave, Hz, and factor. */
const wkTable: readonly (readonly [number, number])[] = [
  [0.1, 0.0312],
  [0.125, 0.0486],
  [0.16, 0.079],
  [0.2, 0.121],
  [0.25, 0.182],
  [0.315, 0.263],
  [0.4, 0.352],
  [0.5, 0.418],
  [0.63, 0.459],
  [0.8, 0.477],
  [1, 0.482],
  [1.25, 0.484],
  [1.6, 0.494],
  [2, 0.531],
  [2.5, 0.631],
  [3.15, 0.804],
  [4, 0.967],
  [5, 1.039],
  [6.3, 1.054],
  [8, 1.036],
  [10, 0.988],
  [12.5, 0.902],
  [16, 0.768],
  [20, 0.636],
  [25, 0.513],
  [31.5, 0.405],
  [40, 0.314],
  [50, 0.246],
  [63, 0.186],
  [80, 0.132],
  [100, 0.0887],
];

/** Asymptotes of Wb where no corner is near. */
const wbPoints: readonly (readonly [number, number])[] = [
  [1, 0.4],
  [8, 1],
  [10, 1],
  [40, 0.4],
];

export const comfortWeightings: VerificationCase = {
  id: 'comfort-weightings',
  title: 'Comfort weightings Wk and Wb',
  source:
    'Wk: ISO 2631-1:1997 Table 3, factors at one-third octaves (mem). Wb: BS 6841:1987, asymptotes 0.4 to 2 Hz, f / 5 to 5 Hz, 1 to 16 Hz, 16 / f above (mem), which EN 12299 builds on',
  statement: 'Size of the transfer functions that weigh the acceleration of the car floor.',
  evaluate: () => ({
    quantities: [
      ...wkTable.map(([frequency, reference]) => ({
        name: `Wk at ${frequency} Hz`,
        unit: '-',
        reference,
        computed: weightingFactor(weightingWk, frequency),
        tolerance: relative(0.01),
        why: 'The table has three figures and is printed for nominal frequencies',
      })),
      ...wbPoints.map(([frequency, reference]) => ({
        name: `Wb at ${frequency} Hz`,
        unit: '-',
        reference,
        computed: weightingFactor(weightingWb, frequency),
        tolerance: relative(0.12),
        why: 'Straight-line asymptotes; the standard allows 1 dB, 12 %, between them and the curve',
      })),
    ],
  }),
};
