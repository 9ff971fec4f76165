import { type Fault, fault, type Path } from '../../fault.js';
import { scenarioBounds } from '../../schema/bounds.js';
import { numberText } from '../../schema/quantity.js';
import { exactlyOne } from './exactly-one.js';
import { entries, member, numberIn, spanLengths } from './lenient.js';

const kinds = ['sample', 'profile', 'profile_csv'] as const;
const root: Path = ['track_irregularity'];

/** One kind of irregularity; a band of waves that is one; a profile that covers the deck; samples, not the name of their file. */
export function irregularityRules(document: unknown): readonly Fault[] {
  const irregularity = member(document, 'track_irregularity');
  if (typeof irregularity !== 'object' || irregularity === null || Array.isArray(irregularity)) return [];
  const several = exactlyOne(irregularity, kinds, root);
  if (several.length > 0) return several;
  return [
    ...fileFaults(irregularity),
    ...bandFaults(member(irregularity, 'sample')),
    ...coverFaults(document, member(irregularity, 'profile')),
  ];
}

/** The command line puts the samples in place of the name before it comes here. */
function fileFaults(irregularity: unknown): readonly Fault[] {
  const name = member(irregularity, 'profile_csv');
  if (typeof name !== 'string') return [];
  return [
    fault([...root, 'profile_csv'], 'not-applicable', {
      found: `the file ${JSON.stringify(name)}`,
      accepted:
        'profile with from_m, step_m and level_mm: only the command line reads a file beside the scenario',
    }),
  ];
}

function bandFaults(sample: unknown): readonly Fault[] {
  const from = numberIn(sample, 'from_wavelength_m') ?? 3;
  const to = numberIn(sample, 'to_wavelength_m') ?? 70;
  if (from < to) return [];
  return [
    fault([...root, 'sample', 'to_wavelength_m'], 'not-ascending', {
      found: `waves from ${numberText(from)} m to ${numberText(to)} m`,
      accepted: 'to_wavelength_m (70 m unless given) above from_wavelength_m (3 m unless given)',
    }),
  ];
}

function coverFaults(document: unknown, profile: unknown): readonly Fault[] {
  const from = numberIn(profile, 'from_m');
  const step = numberIn(profile, 'step_m');
  const count = entries(profile, 'level_mm', scenarioBounds.irregularityLevels).length;
  const lengths = spanLengths(document);
  if (from === null || step === null || step <= 0 || count < 2 || lengths === null) return [];
  const deck = lengths.reduce((sum, one) => sum + one, 0);
  const to = from + step * (count - 1);
  if (from <= 0 && to >= deck - 1e-6) return [];
  return [
    fault([...root, 'profile'], 'outside-structure', {
      found: `a profile from ${numberText(from)} m to ${numberText(to)} m`,
      accepted: `one that covers the deck, 0 to ${numberText(deck)} m from the first support, better with 300 m before and behind it`,
    }),
  ];
}
