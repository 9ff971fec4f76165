import { type Fault, fault } from '../../fault.js';
import { checkUnits } from '../../limits/check-units.js';
import { numberText } from '../../schema/quantity.js';
import { duplicates } from './duplicates.js';
import { entries, member, numberIn, textIn } from './lenient.js';

const units: ReadonlyMap<string, string> = new Map(
  Object.entries(checkUnits).map(([check, about]) => [check, about.unit]),
);

/** The own limit set: each check once, in its own unit, with ascending speeds. */
export function limitRules(document: unknown): readonly Fault[] {
  const path = ['limits', 'own_set', 'limits'];
  const limits = entries(member(member(document, 'limits'), 'own_set'), 'limits', 100);
  const faults: Fault[] = [...duplicates(limits, path, 'check', 'limit')];
  for (const [index, limit] of limits.entries()) {
    const check = textIn(limit, 'check') ?? '';
    const unit = textIn(limit, 'unit');
    const own = units.get(check);
    const accepted = check === 'deck-deflection' ? ['mm', 'L/n'] : [own];
    if (check === 'equilibrium') {
      faults.push(
        fault([...path, index, 'check'], 'not-applicable', {
          found: 'a limit for equilibrium',
          accepted: 'no limit: a deck is in equilibrium or it is not',
        }),
      );
    } else if (own !== undefined && unit !== null && !accepted.includes(unit)) {
      faults.push(
        fault([...path, index, 'unit'], 'not-accepted', {
          found: `the text ${JSON.stringify(unit.slice(0, 60))}`,
          accepted: `${accepted.join(' or ')} for ${check}`,
        }),
      );
    }
    let previous = 0;
    for (const [place, step] of entries(limit, 'steps', 100).entries()) {
      const upTo =
        member(step, 'up_to_kmh') === null ? Number.POSITIVE_INFINITY : numberIn(step, 'up_to_kmh');
      if (upTo === null) continue;
      if (upTo <= previous) {
        faults.push(
          fault([...path, index, 'steps', place, 'up_to_kmh'], 'not-ascending', {
            found: `${speedText(upTo)} after ${speedText(previous)}`,
            accepted: 'speeds in ascending order; null (any speed) only last',
          }),
        );
      }
      previous = upTo;
    }
  }
  return faults;
}

function speedText(value: number): string {
  return Number.isFinite(value) ? `${numberText(value)} km/h` : 'null (any speed)';
}
