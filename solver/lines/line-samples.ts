/** A function along the loaded line: `values` at its samples from `first` on, zero at all others. */
export interface LineSamples {
  readonly first: number;
  readonly values: Float64Array;
}

/** Ends below this share of the peak are zero to every figure that anybody reports. */
const negligible = 1e-9;

/** The part of the samples that is not negligible, with a zero on either side where there is room for one. */
export function trimmed(samples: Float64Array): LineSamples {
  const peak = largestSize(samples);
  const level = negligible * peak;
  let from = 0;
  let to = samples.length;
  while (from < to && Math.abs(samples[from]!) <= level) from++;
  while (to > from && Math.abs(samples[to - 1]!) <= level) to--;
  const first = Math.max(0, from - 1);
  const values = new Float64Array(Math.min(samples.length, to + 1) - first);
  values.set(samples.subarray(from, to), from - first);
  return { first, values };
}

/** All samples of a line of `count`. */
export function wholeLine(line: LineSamples, count: number): Float64Array {
  return writeWhole(line, new Float64Array(count));
}

/** Writes all samples of a line of `room.length`. @returns room */
export function writeWhole({ first, values }: LineSamples, room: Float64Array): Float64Array {
  room.fill(0);
  room.set(values, first);
  return room;
}

/**
 * The function on the line of `count` samples seen from its other end.
 *
 * @param room for the values of what comes back; their own unless given
 */
export function reversedLine(
  { first, values }: LineSamples,
  count: number,
  room?: Float64Array,
): LineSamples {
  const { length } = values;
  const reversed = room?.subarray(0, length) ?? new Float64Array(length);
  for (let k = 0; k < length; k++) reversed[k] = values[length - 1 - k]!;
  return { first: count - first - length, values: reversed };
}

/**
 * Every `stride`-th sample of the line, counted from its first.
 *
 * @param room for the values of what comes back; their own unless given
 */
export function thinnedLine(line: LineSamples, stride: number, room?: Float64Array): LineSamples {
  if (stride === 1) return line;
  const first = Math.ceil(line.first / stride);
  const last = Math.floor((line.first + line.values.length - 1) / stride);
  const length = Math.max(0, last - first + 1);
  const values = room?.subarray(0, length) ?? new Float64Array(length);
  for (let k = 0; k < values.length; k++) values[k] = line.values[(first + k) * stride - line.first]!;
  return { first, values };
}

/** Largest absolute value; 0 for none. */
export function largestSize(samples: Float64Array): number {
  let most = 0;
  for (let k = 0; k < samples.length; k++) most = Math.max(most, Math.abs(samples[k]!));
  return most;
}
