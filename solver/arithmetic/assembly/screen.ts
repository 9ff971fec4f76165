// AssemblyScript, not TypeScript: compiled to WebAssembly by `npm run build:kernel`. Pointers are byte addresses.
// Every sum is taken in the order of row-screen.ts, so that the bounds are the same to the bit.

import { contract } from './contract';
import { addLanes } from './sums';

/** From this stride on the static bound between two columns is looked up on its own; as in row-screen.ts. */
const refinedStride: i32 = 8;

/** Bytes per row of a table that tells where its static bounds are: addresses of highs and lows, first stretch, how many; 0 without any. */
const boundsBytes: usize = 16;

/**
 * See screenSets in row-screen.ts.
 *
 * @param sets four integers per set: addresses of its modes and their most, how many modes, 1 for accelerations
 */
export function screenSets(
  sets: usize,
  setBounds: usize,
  count: i32,
  departureMost: usize,
  accelerationMost: usize,
  leastUpper: usize,
  greatestLower: usize,
  firstStretch: i32,
  lastStretch: i32,
  hits: usize,
  highs: usize,
  lows: usize,
  tops: usize,
  bottoms: usize,
): i32 {
  let found: usize = 0;
  for (let index = 0; index < count; index++) {
    const set = sets + (<usize>index << 4);
    const modes = <usize>load<u32>(set);
    const most = <usize>load<u32>(set, 4);
    const modeCount = load<i32>(set, 8);
    const sizes = load<u32>(set, 12) === 0 ? departureMost : accelerationMost;
    let swing: f64 = 0;
    for (let k = 0; k < modeCount; k++)
      swing +=
        load<f64>(most + (<usize>k << 3)) *
        load<f64>(sizes + (<usize>load<u32>(modes + (<usize>k << 2)) << 3));
    const table = setBounds + (<usize>index << 4);
    let high: f64 = 0;
    let low: f64 = 0;
    if (load<u32>(table) !== 0) {
      high = highestOver(table, firstStretch, lastStretch);
      low = lowestOver(table, firstStretch, lastStretch);
    }
    const place = <usize>index << 3;
    if (high + swing <= load<f64>(leastUpper + place) && low - swing >= load<f64>(greatestLower + place))
      continue;
    setHit(found++, index, high, low, swing, hits, highs, lows, tops, bottoms);
  }
  return <i32>found;
}

/**
 * See screenSizes in row-screen.ts.
 *
 * @param sizes room for a number per mode of the set
 * @param stretches of the first and the last column
 */
export function screenSizes(
  values: usize,
  modes: usize,
  modeCount: i32,
  most: usize,
  sizes: usize,
  members: usize,
  count: i32,
  rows: usize,
  upper: usize,
  lower: usize,
  setHigh: f64,
  setLow: f64,
  bounds: usize,
  firstStretch: i32,
  lastStretch: i32,
  hits: usize,
  highs: usize,
  lows: usize,
  tops: usize,
  bottoms: usize,
): i32 {
  for (let k = 0; k < modeCount; k++) {
    const place = <usize>k << 3;
    store<f64>(sizes + place, load<f64>(most + (<usize>load<u32>(modes + (<usize>k << 2)) << 3)));
  }
  const paired = (<usize>modeCount & ~1) << 3;
  let found: usize = 0;
  for (let i = 0; i < count; i++) {
    const member = load<i32>(members + (<usize>i << 2));
    const row = <usize>load<u32>(rows + (<usize>member << 2));
    const own = values + ((<usize>member * <usize>modeCount) << 3);
    let sums = f64x2.splat(0);
    for (let at: usize = 0; at < paired; at += 16)
      sums = f64x2.add(sums, f64x2.mul(f64x2.abs(v128.load(own + at)), v128.load(sizes + at)));
    let swing = addLanes(sums);
    if (modeCount & 1) swing += abs(load<f64>(own + paired)) * load<f64>(sizes + paired);
    const up = load<f64>(upper + (row << 3));
    const down = load<f64>(lower + (row << 3));
    if (setHigh + swing <= up && setLow - swing >= down) continue;
    let high: f64 = 0;
    let low: f64 = 0;
    const table = bounds + row * boundsBytes;
    if (load<u32>(table) !== 0) {
      high = highestOver(table, firstStretch, lastStretch);
      low = lowestOver(table, firstStretch, lastStretch);
    }
    if (high + swing <= up && low - swing >= down) continue;
    setHit(found++, member, high, low, swing, hits, highs, lows, tops, bottoms);
  }
  return <i32>found;
}

/**
 * See screenSamples in row-screen.ts.
 *
 * @param weights room for a number per chosen mode
 * @param sources room for an address per chosen mode
 */
export function screenSamples(
  values: usize,
  modeCount: i32,
  rows: usize,
  upper: usize,
  lower: usize,
  bounds: usize,
  stretches: usize,
  chosen: usize,
  chosenCount: i32,
  samples: usize,
  columns: i32,
  stride: i32,
  firstColumn: i32,
  slack: f64,
  weights: usize,
  sources: usize,
  history: usize,
  found: i32,
  hits: usize,
  highs: usize,
  lows: usize,
  tops: usize,
  bottoms: usize,
  from: usize,
  to: usize,
): i32 {
  for (let c = 0; c < chosenCount; c++)
    store<u32>(sources + (<usize>c << 2), <u32>(samples + ((<usize>c * <usize>columns) << 3)));
  let kept: usize = 0;
  for (let i = 0; i < found; i++) {
    const member = load<u32>(hits + (<usize>i << 2));
    const row = <usize>load<u32>(rows + (<usize>member << 2));
    const up = load<f64>(upper + (row << 3));
    const down = load<f64>(lower + (row << 3));
    const high = load<f64>(highs + (<usize>i << 3));
    const low = load<f64>(lows + (<usize>i << 3));
    const table = bounds + row * boundsBytes;
    const refined = stride >= refinedStride && load<u32>(table) !== 0;
    const own = values + ((<usize>member * <usize>modeCount) << 3);
    for (let c = 0; c < chosenCount; c++)
      store<f64>(
        weights + (<usize>c << 3),
        load<f64>(own + (<usize>load<u32>(chosen + (<usize>c << 2)) << 3)),
      );
    contract(weights, sources, chosenCount, history, 0, columns);
    let first = -1;
    let last = -1;
    let most: f64 = -Infinity;
    let least: f64 = Infinity;
    let here = load<f64>(history);
    for (let column = 0; column + 1 < columns; column++) {
      const next = load<f64>(history + (<usize>(column + 1) << 3));
      let top = (here > next ? here : next) + slack;
      let bottom = (here < next ? here : next) - slack;
      here = next;
      if (top + high <= up && bottom + low >= down) continue;
      if (refined) {
        const begin = load<i32>(stretches + (<usize>(firstColumn + column * stride) << 2));
        const end = load<i32>(stretches + (<usize>(firstColumn + (column + 1) * stride) << 2));
        top += highestOver(table, begin, end);
        bottom += lowestOver(table, begin, end);
        if (top <= up && bottom >= down) continue;
      } else {
        top += high;
        bottom += low;
      }
      if (first < 0) first = column;
      last = column;
      if (top > most) most = top;
      if (bottom < least) least = bottom;
    }
    if (first < 0) continue;
    store<u32>(hits + (kept << 2), member);
    store<f64>(tops + (kept << 3), most);
    store<f64>(bottoms + (kept << 3), least);
    store<i32>(from + (kept << 2), firstColumn + first * stride);
    store<i32>(to + (kept << 2), firstColumn + (last + 1) * stride);
    kept++;
  }
  return <i32>kept;
}

// @ts-ignore: decorator
@inline
function setHit(
  place: usize,
  hit: i32,
  high: f64,
  low: f64,
  swing: f64,
  hits: usize,
  highs: usize,
  lows: usize,
  tops: usize,
  bottoms: usize,
): void {
  store<i32>(hits + (place << 2), hit);
  store<f64>(highs + (place << 3), high);
  store<f64>(lows + (place << 3), low);
  store<f64>(tops + (place << 3), high + swing);
  store<f64>(bottoms + (place << 3), low - swing);
}

/** See stretch-bounds.ts; `table` as in screenSizes. */
function highestOver(table: usize, fromStretch: i32, toStretch: i32): f64 {
  return mostOver(table, 0, 1, fromStretch, toStretch);
}

function lowestOver(table: usize, fromStretch: i32, toStretch: i32): f64 {
  return -mostOver(table, 4, -1, fromStretch, toStretch);
}

/** `which` is 0 for highs and 4 for lows. */
function mostOver(table: usize, which: usize, sign: f64, fromStretch: i32, toStretch: i32): f64 {
  const firstStretch = load<i32>(table, 8);
  const from = min(fromStretch, toStretch) - firstStretch;
  const to = max(fromStretch, toStretch) - firstStretch;
  const last = load<i32>(table, 12) - 1;
  const numbers = <usize>load<u32>(table + which);
  let most: f64 = from < 0 || to > last ? 0 : -Infinity;
  for (let stretch = max(0, from); stretch <= min(to, last); stretch++) {
    const value = sign * load<f64>(numbers + (<usize>stretch << 3));
    if (value > most) most = value;
  }
  return most;
}
