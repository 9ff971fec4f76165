/**
 * target[column] = sum over k of values[offset + k] source[modes[k] width + column], for columns from `from` up to `to`; four terms at a
 * time.
 */
export function contract(
  values: Float64Array,
  offset: number,
  modes: Int32Array,
  source: Float64Array,
  width: number,
  target: Float64Array,
  from: number,
  to: number,
): void {
  target.fill(0, from, to);
  const count = modes.length;
  let k = 0;
  for (; k + 3 < count; k += 4) {
    const a = values[offset + k]!;
    const b = values[offset + k + 1]!;
    const c = values[offset + k + 2]!;
    const d = values[offset + k + 3]!;
    const i = modes[k]! * width;
    const j = modes[k + 1]! * width;
    const l = modes[k + 2]! * width;
    const m = modes[k + 3]! * width;
    for (let column = from; column < to; column++) {
      target[column]! +=
        a * source[i + column]! +
        b * source[j + column]! +
        (c * source[l + column]! + d * source[m + column]!);
    }
  }
  for (; k < count; k++) {
    const a = values[offset + k]!;
    const i = modes[k]! * width;
    for (let column = from; column < to; column++) target[column]! += a * source[i + column]!;
  }
}
