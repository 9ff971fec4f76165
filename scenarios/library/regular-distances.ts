/** Two distances count as the same below this, m: drawings give axle positions to a few millimetres. */
const tolerance = 0.05;
/** Longest repeat looked for, m; no coach or wagon is longer. */
const longest = 40;
/** Share of the train's load that must have a partner at the distance behind it. */
const leastShare = 0.4;
const most = 6;

/**
 * The distances at which a train's axles repeat, most regular first, m: those at which at least two fifths of its load find
 * another axle behind them. Whole multiples, sums and differences of more regular ones are left out; they add no resonance of
 * their own.
 *
 * @param positions axles behind the leading one, ascending, m
 * @param loads axle loads, any unit
 */
export function regularDistances(positions: readonly number[], loads: readonly number[]): readonly number[] {
  const pairs: { readonly distance: number; readonly load: number }[] = [];
  for (const [index, position] of positions.entries()) {
    for (let behind = index + 1; behind < positions.length; behind++) {
      const distance = positions[behind]! - position;
      if (distance > longest) break;
      pairs.push({ distance, load: Math.min(loads[index]!, loads[behind]!) });
    }
  }
  pairs.sort((a, b) => a.distance - b.distance);
  const total = loads.reduce((sum, load) => sum + load, 0);
  const groups = grouped(pairs).filter((group) => group.load >= leastShare * total);
  groups.sort((a, b) => b.load - a.load || a.distance - b.distance);
  const found: number[] = [];
  for (const { distance } of groups) {
    if (found.length < most && !followsFrom(distance, found)) found.push(distance);
  }
  return found.map((distance) => Number(distance.toFixed(3)));
}

/** Neighbouring distances as one, at the mean weighted by load. */
function grouped(pairs: readonly { readonly distance: number; readonly load: number }[]) {
  const groups: { distance: number; load: number }[] = [];
  for (const pair of pairs) {
    const last = groups.at(-1);
    if (last !== undefined && pair.distance - last.distance <= tolerance) {
      last.distance += ((pair.distance - last.distance) * pair.load) / (last.load + pair.load);
      last.load += pair.load;
    } else groups.push({ ...pair });
  }
  return groups;
}

/** A multiple of one, or the sum or difference of two distances already found: a bogie's wheelbase beside the coach length. */
function followsFrom(distance: number, found: readonly number[]): boolean {
  const near = (other: number) => Math.abs(distance - other) <= 2 * tolerance;
  return found.some(
    (one) => isMultiple(distance, one) || found.some((other) => near(one + other) || near(one - other)),
  );
}

function isMultiple(distance: number, shorter: number): boolean {
  const times = Math.round(distance / shorter);
  return times >= 2 && Math.abs(distance - times * shorter) <= tolerance * times;
}
