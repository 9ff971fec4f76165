import { type Fault, fault } from '../../fault.js';
import { scenarioBounds } from '../../schema/bounds.js';
import { numberText } from '../../schema/quantity.js';
import { member, numberIn } from './lenient.js';

/** Speeds ascend, and there are not more of them than can be computed. */
export function speedRules(document: unknown): readonly Fault[] {
  const speeds = member(document, 'speeds');
  const lineSpeed = numberIn(member(document, 'line'), 'speed_kmh');
  const overspeed = numberIn(member(document, 'decision'), 'overspeed_factor') ?? 1.2;
  const givenTo = numberIn(speeds, 'to_kmh');
  const givenFrom = numberIn(speeds, 'from_kmh');
  const to = givenTo ?? (lineSpeed === null ? null : lineSpeed * overspeed);
  if (to === null) return [];
  const from = givenFrom ?? Math.min(10, to);
  if (from > to) {
    return [
      fault(['speeds', 'from_kmh'], 'not-ascending', {
        found: `from ${numberText(from)} km/h to ${numberText(to)} km/h${givenTo === null ? ' (overspeed factor times line speed)' : ''}`,
        accepted: 'from_kmh not above to_kmh',
        guess: givenTo === null ? null : 'Are the two the wrong way round?',
      }),
    ];
  }
  const step = numberIn(speeds, 'step_kmh') ?? 5;
  const count = step > 0 ? Math.floor((to - from) / step) + 1 : 0;
  if (count <= scenarioBounds.speeds) return [];
  return [
    fault(['speeds', 'step_kmh'], 'too-many', {
      found: `${numberText(step)} km/h, which makes ${count} speeds`,
      accepted: `at most ${scenarioBounds.speeds} speeds; the sweep is refined around every peak by itself`,
    }),
  ];
}
