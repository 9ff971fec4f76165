import type { LineChart } from '../../../worker/report/charts/line-chart.js';
import type { Markup } from '../../../worker/report/markup.js';

/** How far ours may be from the reference. `at-most` and `at-least` are for sources that state a bound, not a value. */
export type Tolerance =
  | { readonly kind: 'relative'; readonly share: number }
  | { readonly kind: 'absolute'; readonly amount: number }
  | { readonly kind: 'at-most' }
  | { readonly kind: 'at-least' };

/** One number that a source or an independent solution states, beside ours. */
export interface Quantity {
  readonly name: string;
  /** SI or a plain engineering unit; '-' for a ratio. */
  readonly unit: string;
  readonly reference: number;
  readonly computed: number;
  readonly tolerance: Tolerance;
  /** Why the tolerance is what it is: what the difference consists of. */
  readonly why: string;
}

/** What a case found. At least one quantity. */
export interface Evidence {
  readonly quantities: readonly Quantity[];
  readonly chart?: Omit<LineChart, 'id' | 'width' | 'height'>;
}

/** A worked example with a published or independently derived answer. */
export interface VerificationCase {
  /** Lower case words joined by hyphens; the file's name. */
  readonly id: string;
  readonly title: string;
  /** Author, work, equation or table; "(mem)" when quoted from memory; "derived here" when the case solves it by other means. */
  readonly source: string;
  /** The structure, the load and what is compared, with the equations that give the reference. */
  readonly statement: string;
  readonly sketch?: Markup;
  readonly evaluate: () => Evidence;
}

/** Cases about one subject. */
export interface Chapter {
  readonly id: string;
  readonly title: string;
  readonly cases: readonly VerificationCase[];
}

export const relative = (share: number): Tolerance => ({ kind: 'relative', share });
export const absolute = (amount: number): Tolerance => ({ kind: 'absolute', amount });
export const atMost: Tolerance = { kind: 'at-most' };
export const atLeast: Tolerance = { kind: 'at-least' };
