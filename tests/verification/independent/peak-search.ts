/** Largest f on a grid, refined by golden section beside the best point. */
export function largestOn(
  f: (x: number) => number,
  from: number,
  to: number,
  steps: number,
  refinements = 40,
): { readonly x: number; readonly value: number } {
  const width = (to - from) / steps;
  let best = from;
  let value = f(from);
  for (let k = 1; k <= steps; k++) {
    const candidate = f(from + k * width);
    if (candidate > value) {
      value = candidate;
      best = from + k * width;
    }
  }
  const ratio = (Math.sqrt(5) - 1) / 2;
  let low = Math.max(from, best - width);
  let high = Math.min(to, best + width);
  for (let step = 0; step < refinements; step++) {
    const a = high - ratio * (high - low);
    const b = low + ratio * (high - low);
    if (f(a) > f(b)) high = b;
    else low = a;
  }
  const x = (low + high) / 2;
  const refined = f(x);
  return refined > value ? { x, value: refined } : { x: best, value };
}
