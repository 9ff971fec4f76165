const verticalPlane =
  'Only the vertical plane is modelled: no skew, no curvature, no torsion of the deck, no lateral or braking forces, no wind, earthquake or temperature.';
/** In its place for a deck whose torsional rigidity is given. */
const verticalAndTorsion =
  'Only vertical motion and torsion of the deck are modelled: no skew, no curvature, no lateral or braking forces, no wind, earthquake or temperature.';

/**
 * The cautions that every assessment carries, in the order in which a reader should meet them. The first two say what the
 * tool is not; the others say what its model leaves out.
 */
export const standardCautions: readonly string[] = [
  'This assessment supports the judgement of a licensed engineer and does not replace it. Nothing here is a permission to run trains.',
  'The codes, rules and procedures in force where the structure stands decide. Where they ask for more than this report, they apply.',
  'After an event, inspect first: no train crosses on the strength of a calculation until the damage has been seen and surveyed and matches the case assessed.',
  'Values marked (mem) were quoted from memory of the named standard and have not been checked against it. Check them before relying on the result.',
  'Common practice, where it is named as a source, is not a code requirement.',
  'The model is linear elastic and uses the stiffnesses, masses and resistances given; it does not find cracks, hidden damage or further deterioration.',
  verticalPlane,
  'Fatigue and the remaining life of damaged members are not assessed.',
  'Stability, strength and foundation of the piers and abutments are not assessed beyond the vertical reactions compared here.',
  'Resistances are taken as given. Where none were given, strength was not checked, and the result says so.',
  'Settlement and damage are taken as they are in the case; monitor the structure while trains run, and assess again when anything changes.',
];

/** The same for a deck with torsion. */
export const cautionsWithTorsion: readonly string[] = standardCautions.map((caution) =>
  caution === verticalPlane ? verticalAndTorsion : caution,
);
