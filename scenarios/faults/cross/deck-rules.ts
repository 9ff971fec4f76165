import { z } from 'zod';
import { type Fault, fault } from '../../fault.js';
import { scenarioSchema } from '../../scenario.js';
import { numberText, quantities, rangeText } from '../../schema/quantity.js';
import { schemaAt } from '../locate-schema.js';
import { entries, member, numberIn } from './lenient.js';

/** Damping given once, properties of a span given once, segments that fill their span. */
export function deckRules(document: unknown): readonly Fault[] {
  const deck = member(document, 'deck');
  const faults: Fault[] = [];
  if (deck !== undefined) {
    const given = ['damping_ratio', 'material'].filter((key) => member(deck, key) !== undefined);
    if (given.length !== 1) {
      faults.push(
        fault(['deck'], 'exactly-one', {
          found:
            given.length === 0 ? 'neither damping_ratio nor material' : 'both damping_ratio and material',
          accepted:
            'either damping_ratio (-, e.g. 0.01) or material, which gives the lower bound of EN 1991-2 Table 6.6',
        }),
      );
    }
  }
  for (const [index, span] of entries(deck, 'spans').entries()) faults.push(...spanFaults(span, index));
  return faults;
}

function spanFaults(span: unknown, index: number): readonly Fault[] {
  if (typeof span !== 'object' || span === null) return [];
  const path = ['deck', 'spans', index];
  const constant = [
    'mass_kg_per_m',
    'flexural_rigidity_N_m2',
    'shear_rigidity_N',
    'torsional_rigidity_N_m2',
    'rotary_inertia_kg_m',
  ] as const;
  if (member(span, 'segments') === undefined) {
    return constant
      .slice(0, 2)
      .filter((key) => member(span, key) === undefined)
      .map((key) => {
        const schema = schemaAt(scenarioSchema, [...path, key], null);
        const about = schema instanceof z.ZodNumber ? quantities.get(schema) : undefined;
        const range = about === undefined ? 'a number' : `a number, ${rangeText(about)}`;
        return fault([...path, key], 'missing-key', { found: 'nothing', accepted: `${range}, or segments` });
      });
  }
  const faults: Fault[] = constant
    .filter((key) => member(span, key) !== undefined)
    .map((key) =>
      fault([...path, key], 'exactly-one', {
        found: `${key} beside segments`,
        accepted: 'the property of the span or that of its segments, not both',
      }),
    );
  const segments = entries(span, 'segments');
  const lengths = segments.map((segment) => numberIn(segment, 'length_m'));
  const length = numberIn(span, 'length_m');
  if (length !== null && segments.length > 0 && lengths.every((one) => one !== null)) {
    const sum = lengths.reduce((total, one) => total + one, 0);
    if (Math.abs(sum - length) > 1e-6 * Math.max(length, 1)) {
      faults.push(
        fault([...path, 'segments'], 'length-mismatch', {
          found: `segments of ${numberText(sum)} m together`,
          accepted: `the length of the span, ${numberText(length)} m`,
        }),
      );
    }
  }
  return faults;
}
