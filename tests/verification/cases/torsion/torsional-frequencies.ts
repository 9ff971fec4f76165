import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import type { Viaduct } from '../../../../solver/viaduct/model.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { rootsBetween } from '../../independent/root-finding.js';
import { bearingSpread, twistingDeck, twistingViaduct } from '../../models/torsion.js';

const length = 30;
const { rigidity, rotaryInertia } = twistingDeck;
const wave = Math.sqrt(rigidity / rotaryInertia);
const stiffness = 4e9;

/** Hz, of the modes in which the deck turns and does not go down. */
function torsionalFrequencies(viaduct: Viaduct, highestFrequency: number): number[] {
  const { mesh, modes } = buildDynamicModel(viaduct, { highestFrequency });
  const nodes = mesh.deck.map(({ end }) => end);
  const size = (shape: Float64Array, freedoms: readonly number[]) =>
    freedoms.reduce((most, freedom) => Math.max(most, freedom < 0 ? 0 : Math.abs(shape[freedom]!)), 0);
  return modes.shapes.flatMap((shape, mode) => {
    const twist = size(
      shape,
      nodes.map((node) => node.twist),
    );
    const deflection = size(
      shape,
      nodes.map((node) => node.deflection),
    );
    return twist > 1e3 * deflection ? [modes.angularFrequencies[mode]! / (2 * Math.PI)] : [];
  });
}

/** GJ b tan(b L / 2) = k for symmetric modes and -GJ b cot(b L / 2) = k for antisymmetric ones, times sine and cosine. */
function elasticWaves(spring: number): number[] {
  const half = length / 2;
  const symmetric = (b: number) => rigidity * b * Math.sin(b * half) - spring * Math.cos(b * half);
  const antisymmetric = (b: number) => rigidity * b * Math.cos(b * half) + spring * Math.sin(b * half);
  const top = (4 * Math.PI) / length;
  return [...rootsBetween(symmetric, 1e-6, top, 4000), ...rootsBetween(antisymmetric, 1e-6, top, 4000)].sort(
    (a, b) => a - b,
  );
}

/** A bar that turns about its axis. */
export const torsionalFrequenciesCase: VerificationCase = {
  id: 'torsional-frequencies',
  title: 'Torsional frequencies of a uniform bar',
  source:
    'R. D. Blevins, Formulas for Natural Frequency and Mode Shape (1979), table 8-19, torsion of shafts: n / (2 L) (GJ / I_p)^(1/2) with both ends held, (2 n - 1) / (4 L) (GJ / I_p)^(1/2) with one (mem); elastic ends by their characteristic equation, derived here',
  statement: `Uniform deck of ${length} m, GJ = 6e10 N m2, I_p = 1.2e5 kg m. Held at both ends by pairs of rigid bearings; at one end, the other standing on one bearing under the axis; and on pairs of bearings of 4e9 N/m together, ${bearingSpread} m apart, which hold the rotation with k s^2 / 4.`,
  evaluate: () => {
    const cases: readonly (readonly [string, Viaduct, readonly number[]])[] = [
      ['both ends held', twistingViaduct([length]), [1, 2, 3].map((n) => (n * Math.PI) / length)],
      [
        'one end held',
        twistingViaduct([length], {}, { 1: null }),
        [1, 2, 3].map((n) => ((2 * n - 1) * Math.PI) / (2 * length)),
      ],
      [
        'elastic bearings',
        twistingViaduct([length], {}, { 0: { stiffness }, 1: { stiffness } }),
        elasticWaves((stiffness * bearingSpread ** 2) / 4).slice(0, 3),
      ],
    ];
    return {
      quantities: cases.flatMap(([name, viaduct, waves]) => {
        const frequencies = waves.map((b) => (b * wave) / (2 * Math.PI));
        const computed = torsionalFrequencies(viaduct, frequencies[2]! * 1.01);
        const elastic = name === 'elastic bearings';
        return frequencies.map((reference, mode) => ({
          name: `${name}, mode ${mode + 1}`,
          unit: 'Hz',
          reference,
          computed: computed[mode] ?? Number.NaN,
          tolerance: relative(elastic ? 2e-3 : 1e-4),
          why: elastic
            ? 'At an end on a spring the mass of the elements leaves (b h)^2 / 12 of the torque there, 0.9 % in the third mode, an eighth of which reaches the frequency'
            : 'Elements err by (b h)^4 / 480; at least 20 of them stand in the span, at most 0.47 to a radian of the third mode',
        }));
      }),
    };
  },
};
