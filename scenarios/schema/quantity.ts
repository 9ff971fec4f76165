import { z } from 'zod';

/** A slip that people make with a unit: the number as given, times `factor`, is the number that was meant. */
export interface UnitSlip {
  readonly factor: number;
  /** The unit the number was probably given in. */
  readonly givenIn: string;
}

/** What a number of the scenario file means and what it may be. Outside [min, max] nothing is computed. */
export interface Quantity {
  readonly unit: string;
  readonly min: number;
  readonly max: number;
  /** The lower end itself is refused. */
  readonly aboveMin?: boolean;
  readonly integer?: boolean;
  /** What engineers usually give; a guess at a slip must land in here. Absent: the hard range. */
  readonly usual?: readonly [number, number];
  readonly slips?: readonly UnitSlip[];
}

/** The quantity behind each number schema, so that a fault can name unit and range and guess at the slip. */
export const quantities = z.registry<Quantity>();

/** "50 to 200000 kg/m", "above 0 up to 1". */
export function rangeText(quantity: Quantity): string {
  const { min, max, unit } = quantity;
  const lower = quantity.aboveMin ? `above ${numberText(min)} up to` : `${numberText(min)} to`;
  const kind = quantity.integer ? 'a whole number from ' : '';
  return `${kind}${lower} ${numberText(max)}${unitText(unit)}`;
}

/** A unit after a number; '-' stands for none, and what follows it explains the number. */
function unitText(unit: string): string {
  const shown = unit.replace(/^-\s*/, '');
  return shown === '' ? '' : ` ${shown}`;
}

/** Plain digits where they read well, powers of ten elsewhere. */
export function numberText(value: number): string {
  const size = Math.abs(value);
  if (size !== 0 && (size >= 1e6 || size < 1e-3)) return value.toExponential().replace('e+', 'e');
  return String(Number(value.toPrecision(12)));
}

/** A number schema with its hard range, registered in `quantities`. */
export function quantity(about: Quantity): z.ZodNumber {
  const base = about.integer ? z.int() : z.number();
  const lower = about.aboveMin ? base.gt(about.min) : base.min(about.min);
  const schema = lower.max(about.max).describe(`Unit: ${about.unit}`);
  quantities.add(schema, about);
  return schema;
}

/** Given in thousands of the unit (kN where N is meant). */
export function givenInThousands(unit: string): UnitSlip {
  return { factor: 1e3, givenIn: unit };
}

/** Given in thousandths of the unit (N where kN is meant, mm where m is meant). */
export function givenInThousandths(unit: string): UnitSlip {
  return { factor: 1e-3, givenIn: unit };
}
