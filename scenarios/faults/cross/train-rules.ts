import { type Fault, fault, type Path } from '../../fault.js';
import { hslmBLongestSpan } from '../../library/hslm-b.js';
import { staticLoadModelIds, wagonIds } from '../../library/load-model-ids.js';
import { scenarioBounds } from '../../schema/bounds.js';
import { numberText } from '../../schema/quantity.js';
import { duplicates } from './duplicates.js';
import { entries, member, numberIn, spanLengths, textIn } from './lenient.js';

/** Each train is either of the library or of own axles, has its own name, and its axles stand in order. */
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
    }
    previous = at;
  }
  return faults;
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
