import { gravity } from '../../../solver/viaduct/gravity.js';
import { type Fault, fault, type Path } from '../../fault.js';
import { numberText } from '../../schema/quantity.js';
import { type DeckSpan, deckSpans, type Stretch } from './deck-spans.js';
import { entries, member, numberIn, textIn } from './lenient.js';

/** How far outside the frequencies of real bridges a span may lie. A rigidity 1000 times off moves it by a factor of 32. */
const frequencyMargin = 10;
/**
 * How far a support may go down under the deck's own weight: span / 1000, or 10 mm under short spans. Piers with their
 * foundations give a tenth of it, elastomeric bearings 1 to 3 mm, springs against noise up to 10 mm (common practice).
 */
const settlement = { perSpan: 1000, least: 0.01 };
/**
 * Radius of gyration of a section that is all steel, against the longest span: chords alone of a truss span / 8 deep have half of this, girders a third at most
 * (common practice). Taken from rigidity and mass, whatever else a deck carries makes it smaller.
 */
const gyrationPerSpan = 1 / 8;
/** Speed of sound in steel, m/s, of all building materials the highest: the root of modulus of elasticity over density. */
const soundInSteel = 5100;
/** A point of an arch that the deck stiffens is that much softer on its own than under the deck (common practice). */
const footPerSpan = 200;

/**
 * Values that are each within their range but cannot belong to one viaduct: a span whose frequency is far from any bridge's,
 * a support that would go down by centimetres under the deck's own weight. Wide on purpose: they catch slips of a factor 1000.
 */
export function plausibilityRules(document: unknown): readonly Fault[] {
  const spans = deckSpans(document);
  const known = spans.filter((one) => one !== null);
  const faults = known.flatMap((span) => {
    const found = frequencyFaults(span);
    return found.length > 0 ? found : lightnessFaults(span, longest(known));
  });
  for (const [index, support] of entries(document, 'supports').entries()) {
    const neighbours = spans.slice(Math.max(0, index - 1), index + 1).filter((one) => one !== null);
    if (neighbours.length === 0) continue;
    faults.push(...softSupportFaults(support, index, neighbours));
    faults.push(...softFootFaults(document, textIn(support, 'id'), neighbours));
  }
  return faults;
}

/**
 * First natural frequency of the span on its own, simply supported, against the band of EN 1991-2 Figure 6.10 (mem). Of
 * segments, the mean flexibility tells one that is too soft, the mean rigidity one that is too stiff.
 */
function frequencyFaults({ length, mass, stretches }: DeckSpan): readonly Fault[] {
  const known = stretches.filter((one): one is KnownStretch => one.rigidity !== null);
  if (known.length < stretches.length) return [];
  const total = known.reduce((sum, one) => sum + one.length, 0);
  const mean = (of: (stretch: KnownStretch) => number) =>
    known.reduce((sum, one) => sum + of(one) * one.length, 0) / total;
  const frequency = (rigidity: number) => (Math.PI / (2 * length ** 2)) * Math.sqrt(rigidity / mass);
  const softest = frequency(1 / mean(({ rigidity }) => 1 / rigidity));
  const stiffest = frequency(mean(({ rigidity }) => rigidity));
  const within = Math.min(Math.max(length, 4), 100);
  const highest = 94.76 * within ** -0.748 * frequencyMargin;
  const lowest = (within <= 20 ? 80 / within : 23.58 * within ** -0.592) / frequencyMargin;
  const low = softest < lowest;
  if (!low && stiffest <= highest) return [];
  const share = ({ rigidity, length: own }: KnownStretch) => (low ? own / rigidity : own * rigidity);
  const { path, rigidity } = known.reduce((most, one) => (share(one) > share(most) ? one : most));
  const others = known.length > 1 ? ' with the other segments,' : ' with';
  const found = Number((low ? softest : stiffest).toPrecision(3));
  return [
    fault([...path, 'flexural_rigidity_N_m2'], 'implausible', {
      found: `${numberText(rigidity)} N m2${others} ${numberText(Number(mass.toPrecision(6)))} kg/m over ${numberText(length)} m: a first frequency of ${numberText(found)} Hz`,
      accepted: `rigidity, mass and length with a first frequency of ${numberText(Number(lowest.toPrecision(2)))} to ${numberText(Number(highest.toPrecision(2)))} Hz`,
      guess: low
        ? 'Was the rigidity given in kN m2 (1000 times too small)?'
        : 'Is the rigidity 1000 times too large, or the mass given in t/m?',
    }),
  ];
}

/**
 * A deck that is too light for its rigidity, of segments by their mean flexibility, as one is whose mass was given in kN/m: its dead load would be all but nothing, and every
 * check of strength would pass. A frequency cannot tell it: a short end span of the same section may be as stiff.
 *
 * @param longestSpan m, of the deck: what its section was made for
 */
function lightnessFaults({ mass, stretches }: DeckSpan, longestSpan: number): readonly Fault[] {
  const [first] = stretches;
  if (first === undefined) return [];
  let [length, flexibility] = [0, 0];
  for (const { rigidity, length: own } of stretches) {
    if (rigidity === null) return [];
    length += own;
    flexibility += own / rigidity;
  }
  const rigidity = length / flexibility;
  const least = rigidity / (soundInSteel * gyrationPerSpan * longestSpan) ** 2;
  if (mass >= least) return [];
  const meant = Number(((mass * 1000) / gravity).toPrecision(6));
  const rounded = (value: number) => numberText(Number(value.toPrecision(6)));
  return [
    fault([...first.path, 'mass_kg_per_m'], 'implausible', {
      found: `${rounded(mass)} kg/m with ${rounded(rigidity)} N m2, lighter than any deck so rigid`,
      accepted: `at least ${numberText(Number(least.toPrecision(2)))} kg/m beside this rigidity, in a deck of spans to ${numberText(longestSpan)} m`,
      guess:
        meant >= least && meant <= 1e5
          ? `Was the mass given in kN/m? Then write ${numberText(meant)} kg/m.`
          : 'Is the rigidity too large?',
    }),
  ];
}

interface KnownStretch extends Stretch {
  readonly rigidity: number;
}

function softSupportFaults(
  support: unknown,
  index: number,
  neighbours: readonly DeckSpan[],
): readonly Fault[] {
  const stiffness = numberIn(support, 'stiffness_N_per_m');
  if (stiffness === null || stiffness < 1e5 || stiffness > 1e13) return [];
  const most = Math.max(longest(neighbours) / settlement.perSpan, settlement.least);
  return settledFaults(['supports', index, 'stiffness_N_per_m'], weightOn(neighbours) / stiffness, most, {
    found: `${numberText(stiffness)} N/m`,
    accepted: `a stiffness (N/m) that goes down by at most ${metres(most)} (span / ${settlement.perSpan}, or ${1000 * settlement.least} mm if that is more)`,
    guess: 'Was it given in kN/m (1000 times too small)?',
  });
}

/** The same for the diagonal of a flexibility matrix that supports stand on. */
function softFootFaults(
  document: unknown,
  id: string | null,
  neighbours: readonly DeckSpan[],
): readonly Fault[] {
  const given = member(document, 'supports_flexibility');
  const row = entries(given, 'supports').indexOf(id);
  const line = row < 0 ? undefined : entries(given, 'flexibility_m_per_N')[row];
  const flexibility: unknown = Array.isArray(line) ? line[row] : undefined;
  if (typeof flexibility !== 'number' || flexibility > 1e-5) return [];
  const path = ['supports_flexibility', 'flexibility_m_per_N', row, row];
  const most = longest(neighbours) / footPerSpan;
  return settledFaults(path, weightOn(neighbours) * flexibility, most, {
    found: `${numberText(flexibility)} m/N`,
    accepted: `a flexibility (m/N) that goes down by at most span / ${footPerSpan} = ${metres(most)}`,
    guess: 'Was it given in m/kN (1000 times too large)?',
  });
}

/** @param settled m under the deck's own weight, of at most `most` */
function settledFaults(
  path: Path,
  settled: number,
  most: number,
  { found, accepted, guess }: { readonly found: string; readonly accepted: string; readonly guess: string },
): readonly Fault[] {
  if (settled <= most) return [];
  return [
    fault(path, 'implausible', {
      found: `${found}, which goes down by ${numberText(Number(settled.toPrecision(2)))} m under the deck's own weight`,
      accepted,
      guess: settled <= 1000 * most ? guess : null,
    }),
  ];
}

const metres = (value: number): string => `${numberText(Number(value.toPrecision(3)))} m`;

const weightOn = (neighbours: readonly DeckSpan[]): number =>
  neighbours.reduce((sum, { length, mass }) => sum + (length * mass * gravity) / 2, 0);

const longest = (neighbours: readonly DeckSpan[]): number =>
  Math.max(...neighbours.map(({ length }) => length));
