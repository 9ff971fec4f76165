import { type Fault, fault, type Path } from '../../fault.js';
import { scenarioBounds } from '../../schema/bounds.js';
import { placeInSpan, placeOfTrack } from '../../schema/damage-case.js';
import { numberText, type Quantity } from '../../schema/quantity.js';
import { duplicates } from './duplicates.js';
import { entries, member, numberIn, spanLengths, textIn } from './lenient.js';
import { supportsById, unknownSpan, unknownSupport } from './references.js';
import { repeatedEffects } from './repeated-effects.js';
import { seatlessLossFaults } from './seat-rules.js';

/** How far beyond the abutments a loss in the track may reach: the track runs on over them. */
const beyondAbutment = 100;

/** Damage cases have names of their own and effects on what exists. */
export function damageRules(document: unknown): readonly Fault[] {
  const cases = entries(document, 'damage_cases', scenarioBounds.damageCases);
  const faults: Fault[] = [...duplicates(cases, ['damage_cases'], 'id', 'damage case')];
  for (const [index, damageCase] of cases.entries()) {
    if (textIn(damageCase, 'id') === 'intact') {
      faults.push(
        fault(['damage_cases', index, 'id'], 'reserved-name', {
          found: '"intact"',
          accepted: 'another name: the intact viaduct is always assessed, first, under this one',
        }),
      );
    }
    const effects = entries(damageCase, 'effects', scenarioBounds.effectsPerCase);
    const path = ['damage_cases', index, 'effects'];
    for (const [place, effect] of effects.entries())
      faults.push(...effectFaults(document, effect, [...path, place]));
    faults.push(...repeatedEffects(effects, path));
  }
  return faults;
}

function effectFaults(document: unknown, effect: unknown, path: Path): readonly Fault[] {
  const kind = textIn(effect, 'kind');
  switch (kind) {
    case 'support-stiffness-loss':
      return [
        ...unknownSupport(document, member(effect, 'support'), [...path, 'support']),
        ...rigidSupportFaults(document, effect, path),
      ];
    case 'support-settlement':
    case 'bearing-loss':
      return unknownSupport(document, member(effect, 'support'), [...path, 'support']);
    case 'deck-stiffness-loss':
      return deckLossFaults(document, effect, path);
    case 'bedding-loss':
    case 'fastening-loss':
      return layerLossFaults(document, effect, kind, path);
    default:
      return [];
  }
}

function rigidSupportFaults(document: unknown, effect: unknown, path: Path): readonly Fault[] {
  const id = textIn(effect, 'support');
  const fraction = numberIn(effect, 'fraction');
  const support = id === null ? undefined : supportsById(document).get(id);
  if (support === undefined || fraction === null || fraction <= 0 || fraction >= 1) return [];
  if (member(support, 'stiffness_N_per_m') !== undefined) return [];
  return [
    fault([...path, 'fraction'], 'rigid-support', {
      found: `${numberText(fraction)} of the stiffness of ${JSON.stringify(id)}, which is rigid`,
      accepted: `1 (all of it), or a stiffness_N_per_m for the support ${JSON.stringify(id)}`,
    }),
  ];
}

function deckLossFaults(document: unknown, effect: unknown, path: Path): readonly Fault[] {
  const span = numberIn(effect, 'span');
  const unknown = unknownSpan(document, span, [...path, 'span']);
  if (unknown.length > 0) return unknown;
  if (isOutOfRange(effect, placeInSpan)) return [];
  const faults: Fault[] = [...orderFaults(effect, path)];
  const lengths = spanLengths(document);
  const length = span === null ? undefined : lengths?.[span - 1];
  if (lengths === null || span === null || length === undefined) return faults;
  const start = lengths.slice(0, span - 1).reduce((sum, one) => sum + one, 0);
  const [from, to] = [numberIn(effect, 'from_m'), numberIn(effect, 'to_m')];
  const absolute =
    from !== null && to !== null && from >= start - 1e-6 && to <= start + length + 1e-6 && from < to;
  for (const [key, at] of [
    ['from_m', from],
    ['to_m', to],
  ] as const) {
    if (at === null || at <= length + 1e-6) continue;
    faults.push(
      fault([...path, key], 'outside-structure', {
        found: `${numberText(at)} m`,
        accepted: `0 to ${numberText(length)} m, measured from the start of span ${span}`,
        guess: absolute
          ? `Measured from the first support? Then write ${numberText(at - start)}: span ${span} starts at ${numberText(start)} m.`
          : null,
      }),
    );
  }
  return faults;
}

function layerLossFaults(document: unknown, effect: unknown, kind: string, path: Path): readonly Fault[] {
  const layer = kind === 'bedding-loss' ? 'bedding' : 'fastening';
  const faults: Fault[] = [];
  if (member(member(document, 'track'), layer) === undefined) {
    faults.push(
      fault([...path, 'kind'], 'not-applicable', {
        found: `${kind} on a viaduct without ${layer}`,
        accepted: `${kind} only where track.${layer} is given`,
      }),
    );
  }
  if (isOutOfRange(effect, placeOfTrack)) return faults;
  faults.push(...orderFaults(effect, path));
  if (layer === 'fastening') faults.push(...seatlessLossFaults(document, effect, path));
  const lengths = spanLengths(document);
  if (lengths === null) return faults;
  const length = lengths.reduce((sum, one) => sum + one, 0);
  for (const key of ['from_m', 'to_m']) {
    const at = numberIn(effect, key);
    if (at === null || (at >= -beyondAbutment && at <= length + beyondAbutment)) continue;
    faults.push(
      fault([...path, key], 'outside-structure', {
        found: `${numberText(at)} m`,
        accepted: `-${beyondAbutment} to ${numberText(length + beyondAbutment)} m from the first support`,
        guess: chainageGuess(document, at, length),
      }),
    );
  }
  return faults;
}

/** Whether a place of the effect is outside its range: the schema says so, and what it is compared with would repeat it. */
function isOutOfRange(effect: unknown, { min, max }: Quantity): boolean {
  return ['from_m', 'to_m'].some((key) => {
    const at = numberIn(effect, key);
    return at !== null && (at < min || at > max);
  });
}

/** The place that was meant where a chainage in metres stands for it; null where it is none of this viaduct. */
function chainageGuess(document: unknown, at: number, length: number): string | null {
  const start = numberIn(member(document, 'line'), 'start_chainage_km');
  const meant = start === null ? null : at - 1e3 * start;
  if (meant === null || meant < -beyondAbutment || meant > length + beyondAbutment) return null;
  return `Is that the chainage? Then write ${numberText(Math.round(1e3 * meant) / 1e3)}.`;
}

function orderFaults(effect: unknown, path: Path): readonly Fault[] {
  const from = numberIn(effect, 'from_m');
  const to = numberIn(effect, 'to_m');
  if (from === null || to === null || from < to) return [];
  return [
    fault([...path, 'to_m'], 'not-ascending', {
      found: `from ${numberText(from)} m to ${numberText(to)} m`,
      accepted: 'to_m above from_m',
      guess: from > to ? 'Are the two the wrong way round?' : null,
    }),
  ];
}
