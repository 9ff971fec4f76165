/** Root of a continuous function with a sign change in [low, high], by bisection to the last bit. */
export function bisect(f: (x: number) => number, low: number, high: number): number {
  let a = low;
  let b = high;
  const fa = f(a);
  if (fa * f(b) > 0) throw new Error(`no sign change between ${low} and ${high}`);
  for (let step = 0; step < 200; step++) {
    const middle = (a + b) / 2;
    if (middle === a || middle === b) break;
    if (f(middle) * fa > 0) a = middle;
    else b = middle;
  }
  return (a + b) / 2;
}

/** All roots in (from, to) that equal steps separate; jumps through a pole, where |f| grows at the sign change, are left out. */
export function rootsBetween(f: (x: number) => number, from: number, to: number, steps: number): number[] {
  const roots: number[] = [];
  const width = (to - from) / steps;
  for (let k = 0; k < steps; k++) {
    const a = from + k * width;
    const b = a + width;
    if (!(f(a) * f(b) < 0)) continue;
    const root = bisect(f, a, b);
    if (Math.abs(f(root)) < Math.min(Math.abs(f(a)), Math.abs(f(b)))) roots.push(root);
  }
  return roots;
}
