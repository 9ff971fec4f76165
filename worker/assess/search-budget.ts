/** At how many speeds beside those of the grid one train is looked at. */
export interface SearchBudget {
  /** Wherever they lie. */
  readonly anywhere: number;
  /** More than that only of those that decide, up to so many. */
  readonly deciding: number;
}

/** Some seconds of work for a train under one set of properties. */
export const usualBudget: SearchBudget = { anywhere: 600, deciding: 2400 };

/** What is looked at of the speeds that a round of the search asks for. */
export interface AffordableSpeeds {
  /** km/h, ascending. */
  readonly speedsKmh: readonly number[];
  /** km/h: the lowest that was asked for and is not looked at, from which on the search is given up; infinite where all are. */
  readonly givenUpFromKmh: number;
}

/**
 * The speeds of a round for which the search has time. A passage above the lowest speed that fails cannot raise the permitted speed,
 * so that those below it come first; what is left out begins with the highest.
 *
 * @param askedKmh ascending
 * @param spent speeds looked at so far beside those of the grid
 * @param lowestFailureKmh lowest speed known to fail a check of safety; infinite where none is
 */
export function affordableSpeeds(
  askedKmh: readonly number[],
  spent: number,
  lowestFailureKmh: number,
  { anywhere, deciding }: SearchBudget,
): AffordableSpeeds {
  const decide = askedKmh.filter((speed) => speed < lowestFailureKmh).length;
  const taken = Math.max(0, Math.min(decide, deciding - spent), anywhere - spent);
  return { speedsKmh: askedKmh.slice(0, taken), givenUpFromKmh: askedKmh[taken] ?? Number.POSITIVE_INFINITY };
}
