import { type Fault, fault, type Path } from '../../fault.js';
import { type CheckUnit, checkUnits, deflectionDivisor } from '../../limits/check-units.js';
import { anyLimitValue } from '../../schema/limits.js';
import { numberText, type Quantity, rangeText } from '../../schema/quantity.js';
import { guessNumber } from '../guess-number.js';
import { duplicates } from './duplicates.js';
import { entries, member, numberIn, textIn } from './lenient.js';

const known: ReadonlyMap<string, CheckUnit> = new Map(Object.entries(checkUnits));
const comfortChecks = [...known].flatMap(([id, { kind }]) => (kind === 'comfort' ? [id] : [])).join(' and ');

/** The own limit set: each check once, in its own unit and range, with ascending speeds; none of safety as one of comfort. */
export function limitRules(document: unknown): readonly Fault[] {
  const path = ['limits', 'own_set', 'limits'];
  const limits = entries(member(member(document, 'limits'), 'own_set'), 'limits', 100);
  const faults: Fault[] = [...duplicates(limits, path, 'check', 'limit')];
  for (const [index, limit] of limits.entries()) {
    const check = textIn(limit, 'check') ?? '';
    const unit = textIn(limit, 'unit');
    const about = known.get(check);
    const accepted: readonly (string | undefined)[] =
      check === 'deck-deflection' ? ['mm', 'L/n'] : [about?.unit];
    if (check === 'equilibrium') {
      faults.push(
        fault([...path, index, 'check'], 'not-applicable', {
          found: 'a limit for equilibrium',
          accepted: 'no limit: a deck is in equilibrium or it is not',
        }),
      );
    } else if (about !== undefined && unit !== null && !accepted.includes(unit)) {
      faults.push(
        fault([...path, index, 'unit'], 'not-accepted', {
          found: `the text ${JSON.stringify(unit.slice(0, 60))}`,
          accepted: `${accepted.join(' or ')} for ${check}`,
        }),
      );
    } else if (about !== undefined && unit !== null) {
      const range = unit === 'L/n' ? deflectionDivisor : about.override;
      faults.push(...valueFaults(limit, range, check, [...path, index]));
    }
    if (about?.kind === 'safety' && textIn(limit, 'kind') === 'comfort') {
      faults.push(
        fault([...path, index, 'kind'], 'not-accepted', {
          found: 'the text "comfort"',
          accepted: `safety for ${check}: comfort is what ${comfortChecks} may be`,
        }),
      );
    }
    faults.push(...speedFaults(limit, [...path, index]));
  }
  return faults;
}

/** Values that the schema lets through, since it knows no check, and that an override would not be allowed to have. */
function valueFaults(limit: unknown, about: Quantity, check: string, path: Path): readonly Fault[] {
  const faults: Fault[] = [];
  for (const [place, step] of entries(limit, 'steps', 100).entries()) {
    const value = numberIn(step, 'value');
    if (value === null || !anyLimitValue.safeParse(value).success || within(value, about)) continue;
    faults.push(
      fault([...path, 'steps', place, 'value'], 'out-of-range', {
        found: numberText(value),
        accepted: `a number, ${rangeText(about)}, for ${check}`,
        guess: guessNumber(value, about),
      }),
    );
  }
  return faults;
}

const within = (value: number, { min, max }: Quantity): boolean => value >= min && value <= max;

function speedFaults(limit: unknown, path: Path): readonly Fault[] {
  const faults: Fault[] = [];
  let previous = 0;
  for (const [place, step] of entries(limit, 'steps', 100).entries()) {
    const upTo = member(step, 'up_to_kmh') === null ? Number.POSITIVE_INFINITY : numberIn(step, 'up_to_kmh');
    if (upTo === null) continue;
    if (upTo <= previous) {
      faults.push(
        fault([...path, 'steps', place, 'up_to_kmh'], 'not-ascending', {
          found: `${speedText(upTo)} after ${speedText(previous)}`,
          accepted: 'speeds in ascending order; null (any speed) only last',
        }),
      );
    }
    previous = upTo;
  }
  return faults;
}

function speedText(value: number): string {
  return Number.isFinite(value) ? `${numberText(value)} km/h` : 'null (any speed)';
}
