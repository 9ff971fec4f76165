import { numberText, type Quantity } from '../schema/quantity.js';

/** The slip that probably led to a number outside its range, as a sentence; null where none is likely. */
export function guessNumber(value: number, about: Quantity): string | null {
  if (about.integer && value === 0 && about.min === 1) return 'Counting starts at 1: the first is 1.';
  const [low, high] = about.usual ?? [about.min, about.max];
  for (const slip of about.slips ?? []) {
    const meant = value * slip.factor;
    if (meant >= low && meant <= high) {
      const unit = about.unit === '-' ? '' : ` ${about.unit}`;
      return `Was it given in ${slip.givenIn}? Then write ${numberText(Number(meant.toPrecision(6)))}${unit}.`;
    }
  }
  if (value < 0 && -value >= low && -value <= high) return 'Is the minus sign a slip?';
  return null;
}
