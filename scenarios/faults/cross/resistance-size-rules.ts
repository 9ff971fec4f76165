import { gravity } from '../../../solver/viaduct/gravity.js';
import { type Fault, fault, type Path } from '../../fault.js';
import { scenarioBounds } from '../../schema/bounds.js';
import { numberText, type Quantity } from '../../schema/quantity.js';
import { bendingResistance, forceResistance } from '../../schema/resistance.js';
import { upliftResistance } from '../../schema/support.js';
import { guessNumber } from '../guess-number.js';
import { type DeckSpan, deckSpans } from './deck-spans.js';
import { entries, member, numberIn, textIn } from './lenient.js';

/** kN/m and kN per track: what heavy trains weigh, and one axle (LM71, mem). */
const trainLoad = 80;
const axleLoad = 250;
/** Real resistances are 0.1 to 10 times the crude effect, so that one given in N or N m instead of kN or kNm is beyond this. */
const mostTimes = 100;

/**
 * Resistances of deck and supports that are so far above what dead load and a train ask for that they must be in another unit.
 * They would pass every check of strength in silence.
 */
export function resistanceSizeRules(document: unknown): readonly Fault[] {
  const demands = demandsOf(document);
  const resistance = member(document, 'resistance');
  const faults: Fault[] = [];
  for (const [index, given] of entries(resistance, 'spans', scenarioBounds.spans).entries()) {
    faults.push(...spanFaults(given, demands.spans[index], ['resistance', 'spans', index]));
  }
  faults.push(...supportFaults(resistance, demands, ['resistance']));
  for (const [index, damageCase] of entries(document, 'damage_cases', scenarioBounds.damageCases).entries()) {
    const own = member(damageCase, 'resistance');
    const path = ['damage_cases', index, 'resistance'];
    for (const [place, given] of entries(own, 'spans', scenarioBounds.spans).entries()) {
      const span = numberIn(given, 'span');
      const demand = span === null ? null : demands.spans[span - 1];
      faults.push(...spanFaults(given, demand, [...path, 'spans', place]));
    }
    faults.push(...supportFaults(own, demands, path));
  }
  for (const [index, support] of entries(document, 'supports').entries()) {
    const demand = demands.supports.get(textIn(support, 'id') ?? '');
    const path = ['supports', index, 'uplift_resistance_kN'];
    faults.push(...sizeFaults(support, 'uplift_resistance_kN', upliftResistance, demand, path));
  }
  return faults;
}

/** kNm and kN that dead load and a train may ask of a span, roughly and never too little. */
interface SpanDemand {
  readonly moment: number;
  readonly shear: number;
}

interface Demands {
  /** Null where the span is not known. */
  readonly spans: readonly (SpanDemand | null)[];
  /** kN by support. */
  readonly supports: ReadonlyMap<string, number>;
}

/** Of the worse of a span and its neighbours, since moments hog over supports, and with what a moment adds to the shear of its span. */
function demandsOf(document: unknown): Demands {
  const deck = deckSpans(document);
  const tracks = Math.max(1, entries(document, 'tracks').length);
  const alone = deck.map((span) => (span === null ? null : simplySupported(span, tracks)));
  const spans = deck.map((span, index) => {
    if (span === null) return null;
    const near = alone.slice(Math.max(0, index - 1), index + 2).filter((one) => one !== null);
    const moment = Math.max(...near.map((one) => one.moment));
    return { moment, shear: Math.max(...near.map((one) => one.shear)) + moment / span.length };
  });
  const supports = new Map<string, number>();
  for (const [index, support] of entries(document, 'supports').entries()) {
    const id = textIn(support, 'id');
    const beside = spans.slice(Math.max(0, index - 1), index + 1);
    const known = beside.filter((one) => one !== null);
    if (id === null || known.length === 0 || known.length < beside.length || supports.has(id)) continue;
    supports.set(
      id,
      known.reduce((sum, one) => sum + one.shear, 0),
    );
  }
  return { spans, supports };
}

function simplySupported({ length, mass }: DeckSpan, tracks: number): SpanDemand {
  const load = (mass * gravity) / 1e3 + trainLoad * tracks;
  return {
    moment: (load * length ** 2) / 8 + (axleLoad * tracks * length) / 4,
    shear: (load * length) / 2 + axleLoad * tracks,
  };
}

function spanFaults(given: unknown, demand: SpanDemand | null | undefined, path: Path): readonly Fault[] {
  return [
    ...sizeFaults(given, 'sagging_kNm', bendingResistance, demand?.moment, [...path, 'sagging_kNm']),
    ...sizeFaults(given, 'hogging_kNm', bendingResistance, demand?.moment, [...path, 'hogging_kNm']),
    ...sizeFaults(given, 'shear_kN', forceResistance, demand?.shear, [...path, 'shear_kN']),
  ];
}

function supportFaults(resistance: unknown, demands: Demands, path: Path): readonly Fault[] {
  return entries(resistance, 'supports', scenarioBounds.spans + 1).flatMap((given, index) => {
    const demand = demands.supports.get(textIn(given, 'id') ?? '');
    const at = [...path, 'supports', index, 'reaction_kN'];
    return sizeFaults(given, 'reaction_kN', forceResistance, demand, at);
  });
}

/** A number outside the range of the key has its fault already. */
function sizeFaults(
  given: unknown,
  key: string,
  about: Quantity,
  demand: number | undefined,
  path: Path,
): readonly Fault[] {
  const value = numberIn(given, key);
  if (value === null || demand === undefined || value > about.max || value <= mostTimes * demand) return [];
  const most = roundedDown(mostTimes * demand);
  return [
    fault(path, 'implausible', {
      found: `${numberText(value)} ${about.unit}, ${numberText(Math.round(value / demand))} times what the deck's own weight and a train ask for`,
      accepted: `a resistance (${about.unit}) of at most ${mostTimes} times that, about ${numberText(most)} ${about.unit}`,
      guess: guessNumber(value, about),
    }),
  ];
}

/** To two digits, so that what is named as accepted is. */
function roundedDown(value: number): number {
  const unit = 10 ** (Math.floor(Math.log10(value)) - 1);
  return Math.floor(value / unit) * unit;
}
