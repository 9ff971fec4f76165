// AssemblyScript, not TypeScript: compiled to WebAssembly by `npm run build:kernel`. Pointers are byte addresses.
// Every sum is taken in the order of row-screen.ts, so that the bounds are the same to the bit.

import { contract } from './contract';
import {
  BoundsRecord,
  HitsRecord,
  RowScreenRecord,
  SetRecord,
  SetScreenRecord,
  SizeScreenRecord,
} from './records';
import { addLanes } from './sums';

/** From this stride on the static bound between two columns is looked up on its own; as in row-screen.ts. */
const refinedStride: i32 = 8;

/**
 * See screenSets in row-screen.ts.
 *
 * @param sets a SetRecord for each
 * @param setBounds a BoundsRecord for each
 */
export function screenSets(sets: usize, setBounds: usize, count: i32, screen: SetScreenRecord): i32 {
  const departureMost: usize = screen.departureMost;
  const accelerationMost: usize = screen.accelerationMost;
  const leastUpper: usize = screen.leastUpper;
  const greatestLower: usize = screen.greatestLower;
  const firstStretch = stretchAt(screen.stretches, 0);
  const lastStretch = stretchAt(screen.stretches, screen.lastColumn);
  let found: usize = 0;
  for (let index = 0; index < count; index++) {
    const set = changetype<SetRecord>(sets + <usize>index * offsetof<SetRecord>());
    const modes: usize = set.modes;
    const most: usize = set.most;
    const modeCount = set.modeCount;
    const sizes = set.acceleration === 0 ? departureMost : accelerationMost;
    let swing: f64 = 0;
    for (let k = 0; k < modeCount; k++)
      swing +=
        load<f64>(most + (<usize>k << 3)) *
        load<f64>(sizes + (<usize>load<u32>(modes + (<usize>k << 2)) << 3));
    const table = boundsAt(setBounds, index);
    let high: f64 = 0;
    let low: f64 = 0;
    if (table.highs !== 0) {
      high = highestOver(table, firstStretch, lastStretch);
      low = lowestOver(table, firstStretch, lastStretch);
    }
    const place = <usize>index << 3;
    if (high + swing <= load<f64>(leastUpper + place) && low - swing >= load<f64>(greatestLower + place))
      continue;
    setHit(screen, found++, index, high, low, swing);
  }
  return <i32>found;
}

/**
 * See screenSizes in row-screen.ts.
 *
 * @param bounds a BoundsRecord for each row of the model
 */
export function screenSizes(
  set: SetRecord,
  bounds: usize,
  screen: SizeScreenRecord,
  first: i32,
  count: i32,
  most: usize,
  setHigh: f64,
  setLow: f64,
): i32 {
  const values: usize = set.values;
  const modes: usize = set.modes;
  const modeCount = set.modeCount;
  const rows: usize = set.rows;
  const members: usize = screen.members + (<usize>first << 2);
  const upper: usize = screen.upper;
  const lower: usize = screen.lower;
  const sizes: usize = screen.sizes;
  const firstStretch = stretchAt(screen.stretches, 0);
  const lastStretch = stretchAt(screen.stretches, screen.lastColumn);
  for (let k = 0; k < modeCount; k++) {
    const place = <usize>k << 3;
    store<f64>(sizes + place, load<f64>(most + (<usize>load<u32>(modes + (<usize>k << 2)) << 3)));
  }
  const paired = (<usize>modeCount & ~1) << 3;
  let found: usize = 0;
  for (let i = 0; i < count; i++) {
    const member = load<i32>(members + (<usize>i << 2));
    const row = load<i32>(rows + (<usize>member << 2));
    const own = values + ((<usize>member * <usize>modeCount) << 3);
    let sums = f64x2.splat(0);
    for (let at: usize = 0; at < paired; at += 16)
      sums = f64x2.add(sums, f64x2.mul(f64x2.abs(v128.load(own + at)), v128.load(sizes + at)));
    let swing = addLanes(sums);
    if (modeCount & 1) swing += abs(load<f64>(own + paired)) * load<f64>(sizes + paired);
    const up = load<f64>(upper + (<usize>row << 3));
    const down = load<f64>(lower + (<usize>row << 3));
    if (setHigh + swing <= up && setLow - swing >= down) continue;
    let high: f64 = 0;
    let low: f64 = 0;
    const table = boundsAt(bounds, row);
    if (table.highs !== 0) {
      high = highestOver(table, firstStretch, lastStretch);
      low = lowestOver(table, firstStretch, lastStretch);
    }
    if (high + swing <= up && low - swing >= down) continue;
    setHit(screen, found++, member, high, low, swing);
  }
  return <i32>found;
}

/**
 * See screenSamples in row-screen.ts.
 *
 * @param bounds a BoundsRecord for each row of the model
 */
export function screenSamples(
  set: SetRecord,
  bounds: usize,
  screen: RowScreenRecord,
  found: i32,
  chosenCount: i32,
  columns: i32,
  stride: i32,
  slack: f64,
): i32 {
  const values: usize = set.values;
  const modeCount = set.modeCount;
  const rows: usize = set.rows;
  const upper: usize = screen.upper;
  const lower: usize = screen.lower;
  const stretches: usize = screen.stretches;
  const chosen: usize = screen.chosen;
  const samples: usize = screen.samples;
  const firstColumn = screen.firstColumn;
  const history: usize = screen.history;
  const weights: usize = screen.weights;
  const sources: usize = screen.sources;
  const hits: usize = screen.hits;
  const highs: usize = screen.highs;
  const lows: usize = screen.lows;
  for (let c = 0; c < chosenCount; c++)
    store<u32>(sources + (<usize>c << 2), <u32>(samples + ((<usize>c * <usize>columns) << 3)));
  let kept: usize = 0;
  for (let i = 0; i < found; i++) {
    const member = load<u32>(hits + (<usize>i << 2));
    const row = load<i32>(rows + (<usize>member << 2));
    const up = load<f64>(upper + (<usize>row << 3));
    const down = load<f64>(lower + (<usize>row << 3));
    const high = load<f64>(highs + (<usize>i << 3));
    const low = load<f64>(lows + (<usize>i << 3));
    const table = boundsAt(bounds, row);
    const refined = stride >= refinedStride && table.highs !== 0;
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
        const begin = stretchAt(stretches, firstColumn + column * stride);
        const end = stretchAt(stretches, firstColumn + (column + 1) * stride);
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
    store<f64>(screen.tops + (kept << 3), most);
    store<f64>(screen.bottoms + (kept << 3), least);
    store<i32>(screen.from + (kept << 2), firstColumn + first * stride);
    store<i32>(screen.to + (kept << 2), firstColumn + (last + 1) * stride);
    kept++;
  }
  return <i32>kept;
}

// @ts-ignore: decorator
@inline
function boundsAt(table: usize, index: i32): BoundsRecord {
  return changetype<BoundsRecord>(table + <usize>index * offsetof<BoundsRecord>());
}

// @ts-ignore: decorator
@inline
function stretchAt(stretches: usize, column: i32): i32 {
  return load<i32>(stretches + (<usize>column << 2));
}

// @ts-ignore: decorator
@inline
function setHit(to: HitsRecord, place: usize, hit: i32, high: f64, low: f64, swing: f64): void {
  store<i32>(to.hits + (place << 2), hit);
  store<f64>(to.highs + (place << 3), high);
  store<f64>(to.lows + (place << 3), low);
  store<f64>(to.tops + (place << 3), high + swing);
  store<f64>(to.bottoms + (place << 3), low - swing);
}

/** See stretch-bounds.ts. */
function highestOver(bounds: BoundsRecord, fromStretch: i32, toStretch: i32): f64 {
  return mostOver(bounds, bounds.highs, 1, fromStretch, toStretch);
}

function lowestOver(bounds: BoundsRecord, fromStretch: i32, toStretch: i32): f64 {
  return -mostOver(bounds, bounds.lows, -1, fromStretch, toStretch);
}

function mostOver(bounds: BoundsRecord, numbers: usize, sign: f64, fromStretch: i32, toStretch: i32): f64 {
  const from = min(fromStretch, toStretch) - bounds.firstStretch;
  const to = max(fromStretch, toStretch) - bounds.firstStretch;
  const last = bounds.count - 1;
  let most: f64 = from < 0 || to > last ? 0 : -Infinity;
  for (let stretch = max(0, from); stretch <= min(to, last); stretch++) {
    const value = sign * load<f64>(numbers + (<usize>stretch << 3));
    if (value > most) most = value;
  }
  return most;
}
