import { formatExact } from './number-format.js';
import { quantityName } from './quantity.js';
import type { DamageEffectEcho } from './scenario-facts.js';

/**
 * One damage effect as a sentence for a reader who does not know the file format. A kind that has no sentence yet is told
 * by its keys, so that nothing of an effect is ever left out.
 */
export function effectWords(effect: DamageEffectEcho): string {
  const support = text(effect.support);
  const kind = text(effect.kind);
  if (kind === 'support-stiffness-loss' && support !== null) {
    const fraction = effect.fraction;
    if (fraction === 1) return `Support ${support} is lost: it carries nothing any more.`;
    if (typeof fraction === 'number')
      return `Support ${support} has lost ${percent(fraction)} of its stiffness.`;
  }
  if (kind === 'support-settlement' && support !== null && typeof effect.settlement_mm === 'number') {
    return `Support ${support} has settled by ${formatExact(effect.settlement_mm)} mm.`;
  }
  if (kind === 'bearing-loss' && support !== null && typeof effect.side === 'string') {
    return `The ${effect.side} one of the two bearings at support ${support} is lost: the other carries everything and the deck may turn on it.`;
  }
  if (kind === 'bearing-loss' && support !== null) {
    return `The bearings at support ${support} are lost: the deck is held neither up nor down there.`;
  }
  const layer = layers.get(kind ?? '');
  const { from_m: from, to_m: to, fraction } = effect;
  if (
    layer !== undefined &&
    typeof from === 'number' &&
    typeof to === 'number' &&
    typeof fraction === 'number'
  ) {
    const where = kind === 'deck-stiffness-loss' ? ` of span ${text(effect.span) ?? '?'}` : ' of the deck';
    return `${layer} reduced by ${percent(fraction)} from ${formatExact(from)} m to ${formatExact(to)} m${where}.`;
  }
  return Object.entries(effect)
    .map(([key, value]) => {
      const { label, unit } = quantityName(key);
      return `${label.toLowerCase()}: ${text(value) ?? JSON.stringify(value)}${unit === null ? '' : ` ${unit}`}`;
    })
    .join('; ');
}

const layers: ReadonlyMap<string, string> = new Map([
  ['deck-stiffness-loss', 'Flexural rigidity of the deck'],
  ['bedding-loss', 'Bedding stiffness under the slab'],
  ['fastening-loss', 'Fastening stiffness'],
]);

function percent(fraction: number): string {
  return `${formatExact(Math.round(fraction * 1e6) / 1e4)} %`;
}

function text(value: unknown): string | null {
  if (typeof value === 'string') return value;
  return typeof value === 'number' ? formatExact(value) : null;
}
