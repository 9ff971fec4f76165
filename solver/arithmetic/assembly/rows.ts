// AssemblyScript, not TypeScript: compiled to WebAssembly by `npm run build:kernel`. Pointers are byte addresses.

import { contract } from './contract';

/** Bytes per mode of the histories of a block; as in block-size.ts. */
const historyBytes: usize = 70 << 3;

/**
 * See evaluateRow in row-evaluation.ts; columns from `from` up to `to`.
 *
 * @param values of the row, one per mode of its set
 * @param sources room for an address per mode
 */
export function evaluateRow(
  values: usize,
  modes: usize,
  modeCount: i32,
  source: usize,
  sources: usize,
  moving: usize,
  from: i32,
  to: i32,
): void {
  for (let k: usize = 0; k < <usize>modeCount << 2; k += 4)
    store<u32>(sources + k, <u32>(source + historyBytes * <usize>load<u32>(modes + k)));
  contract(values, sources, modeCount, moving, from, to);
}
