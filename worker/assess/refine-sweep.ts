/**
 * Where a sweep of speeds needs another look. Knows nothing of bridges: samples in ascending speed, each with named series of how
 * near something comes to its limit, which is 1.
 */
export interface SweptPoint {
  readonly speedKmh: number;
  /** Same keys at every point. */
  readonly nearness: ReadonlyMap<string, number>;
}

export interface RefinementOptions {
  /** Smallest modal damping ratio: a resonance is about 2 x this wide, relative to its speed. */
  readonly dampingRatio: number;
  readonly peakTolerance?: number;
  readonly crossingToleranceKmh?: number;
}

/** Peaks below half of the limit and below this share of the series' largest decide nothing and are left as they are. */
const halfOfLimit = 0.5;
const shareOfLargest = 0.7;
/** A crest between samples may rise above the highest of them by so many times what that rises above the lower one beside it. */
const unseenRise = 2;
const finestStepKmh = 0.1;
/** Where a crest may just pass a limit that its samples keep. */
const decidingStepKmh = 0.02;
/** Series that rise and fall alike ask for the same speed but for rounding; it is looked at once. */
const sameSpeedKmh = 0.01;

/**
 * Speeds to add so that every peak that could matter is resolved to 1 % and every crossing of a limit to 1 km/h.
 * Empty when the sweep is resolved.
 */
export function speedsToAdd(points: readonly SweptPoint[], options: RefinementOptions): number[] {
  const added = new Set<number>();
  const crossing = options.crossingToleranceKmh ?? 1;
  const keys = points[0] ? [...points[0].nearness.keys()] : [];
  for (const key of keys) {
    const series: number[] = [];
    let most = 0;
    for (const { nearness } of points) {
      const value = nearness.get(key) ?? 0;
      series.push(value);
      most = Math.max(most, value);
    }
    for (let i = 0; i + 1 < points.length; i++) {
      const gap = points[i + 1]!.speedKmh - points[i]!.speedKmh;
      if (series[i]! <= 1 !== series[i + 1]! <= 1 && gap > crossing) {
        added.add((points[i]!.speedKmh + points[i + 1]!.speedKmh) / 2);
      }
    }
    for (let i = 1; i + 1 < points.length; i++) {
      const value = series[i]!;
      if (value < series[i - 1]! || value < series[i + 1]!) continue;
      if (value < halfOfLimit && value < shareOfLargest * most) continue;
      refinePeak(points, series, i, options, added);
    }
  }
  return [...added]
    .sort((a, b) => a - b)
    .filter((speed, i, sorted) => i === 0 || speed - sorted[i - 1]! >= sameSpeedKmh);
}

function refinePeak(
  points: readonly SweptPoint[],
  series: readonly number[],
  i: number,
  options: RefinementOptions,
  added: Set<number>,
): void {
  const before = points[i - 1]!.speedKmh;
  const at = points[i]!.speedKmh;
  const after = points[i + 1]!.speedKmh;
  const value = series[i]!;
  const lowest = Math.min(series[i - 1]!, series[i + 1]!);
  const narrow = after - before <= options.dampingRatio * at;
  // On what trains do at any speed a crest may be narrow and low at once, and pass the limit between samples that keep it.
  const mayPass = value <= 1 && value + unseenRise * (value - lowest) > 1;
  // On a plateau nothing rises; a resonance hidden between its samples has been put among them by prediction.
  if (lowest >= 0.99 * value && !mayPass) return;
  const vertex = parabolaVertex(before, series[i - 1]!, at, value, after, series[i + 1]!);
  const tolerance = options.peakTolerance ?? 0.01;
  // A parabola is only to be trusted when both neighbours lie on the same resonance.
  const trusted = narrow || (lowest > 0.9 * value && !mayPass);
  // Between a sample that passes and a crest that may not, 1 % decides.
  const decides = value <= 1 && vertex.value > 1;
  const close = vertex.value <= (1 + tolerance) * value && after - before <= 4 * options.dampingRatio * at;
  if (trusted && close && !decides) return;
  const finest = decides ? decidingStepKmh : finestStepKmh;
  const candidates = trusted ? [vertex.speed] : [(before + at) / 2, (at + after) / 2];
  for (const speed of candidates) {
    const apart = Math.min(Math.abs(speed - before), Math.abs(speed - at), Math.abs(speed - after));
    if (apart >= finest) added.add(speed);
    else if (at - before > 2 * finest && at - before > after - at) added.add((before + at) / 2);
    else if (after - at > 2 * finest) added.add((at + after) / 2);
  }
}

function parabolaVertex(x0: number, y0: number, x1: number, y1: number, x2: number, y2: number) {
  const left = (y1 - y0) / (x1 - x0);
  const right = (y2 - y1) / (x2 - x1);
  const curvature = (right - left) / (x2 - x0);
  if (curvature >= 0) return { speed: x1, value: y1 };
  const speed = Math.min(x2, Math.max(x0, (x0 + x1) / 2 - left / (2 * curvature)));
  return { speed, value: y1 + (speed - x1) * (left + curvature * (speed - x0)) };
}
