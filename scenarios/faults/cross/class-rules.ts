import { distance } from 'fastest-levenshtein';
import { type Fault, fault } from '../../fault.js';
import { type LoadModelId, loadModelIds } from '../../library/load-model-ids.js';
import { classOfLoadModel } from '../../library/load-models.js';
import { scenarioBounds } from '../../schema/bounds.js';
import { entries, textIn } from './lenient.js';

/** Names that the library gives by itself, so that a slip beside them is known for one. */
const libraryClasses = ['passenger', 'freight'] as const;
/** Letters that a slip adds, drops or changes at most: "pasenger", "freights". */
const mostSlips = 2;

/**
 * One class under two spellings: the speed of a class is that of its slowest train, and a train that stands apart by a slip
 * no longer holds the others of its class back. Spellings that differ in case, spaces or signs alone are one class, and so are
 * single words within two letters of a class that the library gives to another train of the file.
 */
export function classRules(document: unknown): readonly Fault[] {
  const trains = entries(document, 'trains', scenarioBounds.trains);
  const used = [...new Set(trains.flatMap((train) => classOf(train) ?? []))];
  const faults: Fault[] = [];
  const told = new Set<string>();
  for (const [index, train] of trains.entries()) {
    const given = textIn(train, 'class');
    if (given === null || told.has(given)) continue;
    const meant = used.find((other) => other !== given && isMeantBy(given, other, used));
    if (meant === undefined) continue;
    told.add(given);
    faults.push(
      fault(['trains', index, 'class'], 'not-accepted', {
        found: `the class ${JSON.stringify(given.slice(0, 60))} beside ${JSON.stringify(meant.slice(0, 60))} of other trains`,
        accepted: 'one spelling for one class: its speed is that of its slowest train',
        guess: `Did you mean ${JSON.stringify(meant.slice(0, 60))}?`,
      }),
    );
  }
  return faults;
}

/** The class that a train has or is given; null for a train of own axles or vehicles without one. */
function classOf(train: unknown): string | null {
  const model = textIn(train, 'load_model');
  const known = loadModelIds.find((id): id is LoadModelId => id === model);
  return textIn(train, 'class') ?? (known === undefined ? null : classOfLoadModel(known));
}

/** Whether `given` is a slip for `other`: of two spellings the one that the library uses, or that stands first, is meant. */
function isMeantBy(given: string, other: string, used: readonly string[]): boolean {
  const [ofGiven, ofOther] = [given, other].map((name) => libraryClasses.some((one) => one === name));
  if (ofGiven) return false;
  if (folded(given) === folded(other)) return ofOther === true || used.indexOf(other) < used.indexOf(given);
  return ofOther === true && /^\p{L}+$/u.test(given) && distance(folded(given), folded(other)) <= mostSlips;
}

const folded = (name: string): string =>
  name
    .normalize('NFKC')
    .toLowerCase()
    .replaceAll(/[^\p{L}\p{N}]+/gu, '');
