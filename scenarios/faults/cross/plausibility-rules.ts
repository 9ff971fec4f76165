import { type Fault, fault } from '../../fault.js';
import { numberText } from '../../schema/quantity.js';
import { entries, member, numberIn, textIn } from './lenient.js';

const gravity = 9.81;
/** How far outside the frequencies of real bridges a span may lie. A rigidity 1000 times off moves it by a factor of 32. */
const frequencyMargin = 10;

/**
 * Values that are each within their range but cannot belong to one viaduct: a span whose frequency is far from any bridge's,
 * a support that would go down by metres under the deck's own weight. Wide on purpose: they catch slips of a factor 1000.
 */
export function plausibilityRules(document: unknown): readonly Fault[] {
  const spans = entries(member(document, 'deck'), 'spans');
  const faults = spans.flatMap((span, index) => [...frequencyFaults(span, index)]);
  const weights = spans.map((span) => {
    const [length, mass] = [numberIn(span, 'length_m'), numberIn(span, 'mass_kg_per_m')];
    return length === null || mass === null || length < 1 || mass < 50
      ? null
      : { length, weight: length * mass * gravity };
  });
  for (const [index, support] of entries(document, 'supports').entries()) {
    faults.push(...softSupportFaults(support, index, weights[index - 1] ?? null, weights[index] ?? null));
    faults.push(
      ...softFootFaults(document, textIn(support, 'id'), weights[index - 1] ?? null, weights[index] ?? null),
    );
  }
  return faults;
}

/** The same for the diagonal of a flexibility matrix that supports stand on. */
function softFootFaults(
  document: unknown,
  id: string | null,
  before: SpanWeight | null,
  after: SpanWeight | null,
): readonly Fault[] {
  const given = member(document, 'supports_flexibility');
  const row = entries(given, 'supports').indexOf(id);
  const line = row < 0 ? undefined : entries(given, 'flexibility_m_per_N')[row];
  const flexibility: unknown = Array.isArray(line) ? line[row] : undefined;
  const neighbours = [before, after].filter((one) => one !== null);
  if (typeof flexibility !== 'number' || flexibility > 1e-5 || neighbours.length === 0) return [];
  const settled = neighbours.reduce((sum, one) => sum + one.weight / 2, 0) * flexibility;
  const most = Math.max(...neighbours.map((one) => one.length)) / 50;
  if (settled <= most) return [];
  return [
    fault(['supports_flexibility', 'flexibility_m_per_N', row, row], 'implausible', {
      found: `${numberText(flexibility)} m/N, which goes down by ${numberText(Number(settled.toPrecision(2)))} m under the deck's own weight`,
      accepted: `a flexibility (m/N) that goes down by at most span / 50 = ${numberText(Number(most.toPrecision(3)))} m`,
      guess: settled <= 1000 * most ? 'Was it given in m/kN (1000 times too large)?' : null,
    }),
  ];
}

/** First natural frequency of the span on its own, simply supported, against the band of EN 1991-2 Figure 6.10 (mem). */
function frequencyFaults(span: unknown, index: number): readonly Fault[] {
  const length = numberIn(span, 'length_m');
  const mass = numberIn(span, 'mass_kg_per_m');
  const rigidity = numberIn(span, 'flexural_rigidity_N_m2');
  if (length === null || mass === null || rigidity === null) return [];
  if (!(length >= 1 && length <= 500 && mass >= 50 && mass <= 2e5 && rigidity >= 1e6 && rigidity <= 1e14))
    return [];
  const frequency = (Math.PI / (2 * length ** 2)) * Math.sqrt(rigidity / mass);
  const within = Math.min(Math.max(length, 4), 100);
  const upper = 94.76 * within ** -0.748;
  const lower = within <= 20 ? 80 / within : 23.58 * within ** -0.592;
  if (frequency >= lower / frequencyMargin && frequency <= upper * frequencyMargin) return [];
  const low = frequency < lower;
  return [
    fault(['deck', 'spans', index, 'flexural_rigidity_N_m2'], 'implausible', {
      found: `${numberText(rigidity)} N m2 with ${numberText(mass)} kg/m over ${numberText(length)} m: a first frequency of ${numberText(Number(frequency.toPrecision(3)))} Hz`,
      accepted: `rigidity, mass and length with a first frequency of ${numberText(Number((lower / frequencyMargin).toPrecision(2)))} to ${numberText(Number((upper * frequencyMargin).toPrecision(2)))} Hz`,
      guess: low
        ? 'Was the rigidity given in kN m2 (1000 times too small)?'
        : 'Is the rigidity 1000 times too large, or the mass given in t/m?',
    }),
  ];
}

interface SpanWeight {
  readonly length: number;
  readonly weight: number;
}

function softSupportFaults(
  support: unknown,
  index: number,
  before: SpanWeight | null,
  after: SpanWeight | null,
): readonly Fault[] {
  const stiffness = numberIn(support, 'stiffness_N_per_m');
  const neighbours = [before, after].filter((one) => one !== null);
  if (stiffness === null || stiffness < 1e5 || stiffness > 1e13 || neighbours.length === 0) return [];
  const settled = neighbours.reduce((sum, one) => sum + one.weight / 2, 0) / stiffness;
  const most = Math.max(...neighbours.map((one) => one.length)) / 50;
  if (settled <= most) return [];
  return [
    fault(['supports', index, 'stiffness_N_per_m'], 'implausible', {
      found: `${numberText(stiffness)} N/m, which goes down by ${numberText(Number(settled.toPrecision(2)))} m under the deck's own weight`,
      accepted: `a stiffness (N/m) that goes down by at most span / 50 = ${numberText(Number(most.toPrecision(3)))} m`,
      guess: settled <= 1000 * most ? 'Was it given in kN/m (1000 times too small)?' : null,
    }),
  ];
}
