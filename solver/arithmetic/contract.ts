/**
 * target[column] = sum over k < count of values[offset + k] source[picks[k] width + column], for columns from `from` up to `to`; four
 * terms at a time.
 */
export function contract(
  values: Float64Array,
  offset: number,
  picks: Int32Array,
  count: number,
  source: Float64Array,
  width: number,
  target: Float64Array,
  from: number,
  to: number,
): void {
  target.fill(0, from, to);
  let k = 0;
  for (; k + 3 < count; k += 4) {
    const a = values[offset + k]!;
    const b = values[offset + k + 1]!;
    const c = values[offset + k + 2]!;
    const d = values[offset + k + 3]!;
    const i = picks[k]! * width;
    const j = picks[k + 1]! * width;
    const l = picks[k + 2]! * width;
    const m = picks[k + 3]! * width;
    for (let column = from; column < to; column++) {
      target[column]! +=
        a * source[i + column]! +
        b * source[j + column]! +
        (c * source[l + column]! + d * source[m + column]!);
    }
  }
  for (; k < count; k++) {
    const a = values[offset + k]!;
    const i = picks[k]! * width;
    for (let column = from; column < to; column++) target[column]! += a * source[i + column]!;
  }
}
