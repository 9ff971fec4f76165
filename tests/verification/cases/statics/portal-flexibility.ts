import { condenseFrame } from '../../../../solver/mesh/plane-frame.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';

const height = 9;
const width = 24;
const axialRigidity = 6e10;
const beam = 8e10;

/** Deflection of the middle of a portal's beam under a unit load there, columns clamped; axial deformation of the columns only. */
function kleinlogel(column: number): number {
  const k = (beam / column) * (height / width);
  const corner = width / (4 * (k + 2));
  return width ** 3 / (48 * beam) - (corner * width ** 2) / (8 * beam) + height / (2 * axialRigidity);
}

/** What a support on the beam of a portal stands on. */
export const portalFlexibility: VerificationCase = {
  id: 'portal-flexibility',
  title: 'Portal frame condensed on the middle of its beam, and a beam on two columns',
  source:
    'A. Kleinlogel, Rigid Frame Formulas, frame with clamped feet under a load in the middle of the beam: corner moment P l / (4 (k + 2)), k = (I_beam / I_column) (h / l) (mem); deflections of the simple beam by any text on strength of materials',
  statement:
    'Portal of 24 m by 9 m with clamped feet, EI of the beam 8e10 N m2, of the columns from soft to stiff, EA of the columns 6e10 N: the flexibility under its middle is l^3 / 48 EI less what the corner moments take back, plus the shortening of the columns. Then two supports at the thirds of a simple beam: 4 l^3 / 243 EI and 7 l^3 / 486 EI.',
  evaluate: () => {
    const portals = [1e9, 8e10, 1e12].map((column) => {
      const section = { axialRigidity, massPerLength: 5000 };
      const { flexibility } = condenseFrame({
        nodes: [
          { x: 0, z: height, held: 'clamped' },
          { x: 0, z: 0, held: 'free' },
          { x: width / 2, z: 0, held: 'free' },
          { x: width, z: 0, held: 'free' },
          { x: width, z: height, held: 'clamped' },
        ],
        bars: [
          { from: 0, to: 1, flexuralRigidity: column, ...section },
          // Corners stay level with each other: the formula leaves the beam's own shortening out.
          { from: 1, to: 2, flexuralRigidity: beam, ...section, axialRigidity: 1e15 },
          { from: 2, to: 3, flexuralRigidity: beam, ...section, axialRigidity: 1e15 },
          { from: 4, to: 3, flexuralRigidity: column, ...section },
        ],
        points: [2],
      });
      return {
        name: `Portal, columns of ${column.toExponential(0)} N m2`,
        unit: 'm/N',
        reference: kleinlogel(column),
        computed: flexibility[0]!,
        tolerance: relative(1e-5),
        why: 'The beam that the formula takes as inextensible is 16 000 times stiffer than the columns',
      };
    });
    const { flexibility } = condenseFrame({
      nodes: [0, 8, 16, 24].map((x) => ({ x, z: 0, held: x === 0 || x === 24 ? 'pinned' : 'free' })),
      bars: [0, 1, 2].map((from) => ({
        from,
        to: from + 1,
        axialRigidity,
        flexuralRigidity: beam,
        massPerLength: 5000,
      })),
      points: [1, 2],
    });
    const simple = (name: string, reference: number, computed: number) => ({
      name,
      unit: 'm/N',
      reference,
      computed,
      tolerance: relative(1e-10),
      why: 'Beam elements are exact at their nodes',
    });
    return {
      quantities: [
        ...portals,
        simple('Simple beam, under the load', (4 * width ** 3) / (243 * beam), flexibility[0]!),
        simple('Simple beam, at the other third', (7 * width ** 3) / (486 * beam), flexibility[1]!),
      ],
    };
  },
};
