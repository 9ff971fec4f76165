import { type Fault, fault, type Path } from '../../fault.js';
import { hslmBLongestSpan } from '../../library/hslm-b.js';
import { staticLoadModelIds, wagonIds } from '../../library/load-model-ids.js';
import { scenarioBounds } from '../../schema/bounds.js';
import { numberText } from '../../schema/quantity.js';
import { duplicates } from './duplicates.js';
import { entries, member, numberIn, spanLengths, textIn } from './lenient.js';

/**
 * Two axles of one train, m apart: no wheelset stands nearer to another, and no vehicle has axles farther apart. Wide on purpose:
 * closer are positions in km, farther such in mm.
 */
const axleDistances = { least: 0.1, most: 200 };

/** Each train is either of the library or of own axles, has its own name, and its axles stand in order at distances that axles have. */
export function trainRules(document: unknown): readonly Fault[] {
  const trains = entries(document, 'trains', scenarioBounds.trains);
  const faults: Fault[] = [];
  for (const [index, train] of trains.entries()) {
    if (typeof train !== 'object' || train === null) continue;
    // Beyond this none is listed; 200 trains of 2000 broken axles must not cost minutes.
    if (faults.length > scenarioBounds.faultsListed) break;
    faults.push(...sourceFaults(train, ['trains', index]), ...axleFaults(train, ['trains', index]));
    faults.push(...spanFaults(document, train, ['trains', index]));
  }
  const nameOf = (train: unknown) => textIn(train, 'id') ?? textIn(train, 'load_model');
  faults.push(...duplicates(trains, ['trains'], 'id', 'train', nameOf));
  return faults;
}

function sourceFaults(train: object, path: Path): readonly Fault[] {
  const model = member(train, 'load_model');
  const given = ['load_model', 'axles', 'vehicles'].filter((key) => member(train, key) !== undefined);
  if (given.length !== 1) {
    return [
      fault(path, 'exactly-one', {
        found: given.length === 0 ? 'neither load_model nor axles nor vehicles' : given.join(' and '),
        accepted: 'a load_model of the library, or an id with axles or with vehicles',
      }),
    ];
  }
  const faults: Fault[] = [];
  if (model === undefined && member(train, 'id') === undefined) {
    faults.push(
      fault([...path, 'id'], 'missing-key', { found: 'nothing', accepted: 'a name for the train' }),
    );
  }
  const name = typeof model === 'string' ? model : '';
  const onlyFor = (key: string, models: readonly string[], whose: string) => {
    if (member(train, key) !== undefined && !models.includes(name)) {
      faults.push(
        fault([...path, key], 'not-applicable', {
          found: `${key} for ${name === '' ? `a train of own ${given[0]}` : name}`,
          accepted: `${key} only for ${whose}: ${models.join(', ')}`,
        }),
      );
    }
  };
  onlyFor('wagons', wagonIds, 'freight wagons');
  onlyFor('dynamic_factor', staticLoadModelIds, 'static load models');
  return faults;
}

function axleFaults(train: object, path: Path): readonly Fault[] {
  const faults: Fault[] = [];
  let previous: number | null = null;
  let apart: Fault | null = null;
  for (const [index, axle] of entries(train, 'axles', scenarioBounds.axlesPerTrain).entries()) {
    const at = numberIn(axle, 'at_m');
    if (at === null) continue;
    if (index === 0 && at !== 0) {
      faults.push(
        fault([...path, 'axles', index, 'at_m'], 'not-ascending', {
          found: `${numberText(at)} m for the leading axle`,
          accepted: '0 m for the first axle: positions are given behind the leading axle',
        }),
      );
    } else if (previous !== null && at <= previous) {
      faults.push(
        fault([...path, 'axles', index, 'at_m'], 'not-ascending', {
          found: `${numberText(at)} m after ${numberText(previous)} m`,
          accepted: 'positions behind the leading axle in ascending order, m',
          guess: at === previous ? 'Two axles cannot stand at one place.' : null,
        }),
      );
    } else if (previous !== null && apart === null) {
      // One train is in one unit: the first of its axles says it.
      apart = distanceFault(at, previous, [...path, 'axles', index, 'at_m']);
      if (apart !== null) faults.push(apart);
    }
    previous = at;
  }
  return faults;
}

/** Null where two axles may stand so far apart. */
function distanceFault(at: number, previous: number, path: Path): Fault | null {
  const gap = Number((at - previous).toPrecision(6));
  const { least, most } = axleDistances;
  if (gap >= least && gap <= most) return null;
  const meant = Number((gap < least ? gap * 1e3 : gap / 1e3).toPrecision(6));
  return fault(path, 'implausible', {
    found: `${numberText(at)} m, ${numberText(gap)} m behind the axle before`,
    accepted: `${numberText(least)} to ${numberText(most)} m between two axles of a train`,
    guess:
      meant >= 0.5 && meant <= 100
        ? `Was it given in ${gap < least ? 'km' : 'mm'}? Then they stand ${numberText(meant)} m apart.`
        : null,
  });
}

function spanFaults(document: unknown, train: object, path: Path): readonly Fault[] {
  const lengths = spanLengths(document);
  if (lengths === null || member(train, 'load_model') !== 'HSLM-B') return [];
  const longest = Math.max(...lengths);
  if (longest < hslmBLongestSpan) return [];
  return [
    fault([...path, 'load_model'], 'load-model-span', {
      found: `HSLM-B with a span of ${numberText(longest)} m`,
      accepted: `HSLM-B for decks whose spans are all below ${hslmBLongestSpan} m; HSLM-A1 to HSLM-A10 for longer ones`,
    }),
  ];
}
