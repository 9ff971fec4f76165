// AssemblyScript, not TypeScript: compiled to WebAssembly by `npm run build:kernel`. Pointers are byte addresses.

import { contract } from './contract';

/** Bytes per mode of the histories of a block; as in block-size.ts. */
const historyBytes: usize = 70 << 3;

/**
 * See evaluateRow in row-evaluation.ts; columns from `from` up to `to`.
 *
 * @param values of the row, one per mode of its set
 * @param sources room for an address per mode
 * @param table 0, or of the row's static part: address of its values, first sample, how many values
 */
export function evaluateRow(
  values: usize,
  modes: usize,
  modeCount: i32,
  source: usize,
  sources: usize,
  moving: usize,
  total: usize,
  from: i32,
  to: i32,
  table: usize,
  indices: usize,
  fractions: usize,
): void {
  for (let k: usize = 0; k < <usize>modeCount << 2; k += 4)
    store<u32>(sources + k, <u32>(source + historyBytes * <usize>load<u32>(modes + k)));
  contract(values, sources, modeCount, moving, from, to);
  const first = <usize>from << 3;
  memory.copy(total + first, moving + first, <usize>(to - from) << 3);
  if (table === 0) return;
  const numbers = <usize>load<u32>(table);
  if (numbers === 0) return;
  const firstSample = load<i32>(table, 4);
  const last = load<i32>(table, 8) - 2;
  for (let b = from; b < to; b++) {
    const index = load<i32>(indices + (<usize>b << 2)) - firstSample;
    if (index < 0 || index > last) continue;
    const at = numbers + (<usize>index << 3);
    const value = load<f64>(at);
    const fraction = load<f64>(fractions + (<usize>b << 3));
    const place = total + (<usize>b << 3);
    store<f64>(place, load<f64>(place) + (value + (load<f64>(at, 8) - value) * fraction));
  }
}
