const FIRST_MILLISECONDS = 1000;
const LONGEST_MILLISECONDS = 15 * 60_000;
const SPREAD = 0.3;

/**
 * Milliseconds until the next attempt at a delivery: a second, twice as long after every failure, a quarter of an hour at most.
 *
 * @param random from 0 to 1: by how much of the spread it is shorter, so that a receiver that comes back is not run over
 */
export function deliveryPause(attemptsMade: number, random = Math.random()): number {
  const longest = Math.min(FIRST_MILLISECONDS * 2 ** (attemptsMade - 1), LONGEST_MILLISECONDS);
  return Math.round(longest * (1 - SPREAD * random));
}
