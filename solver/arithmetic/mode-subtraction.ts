import { GrowingMemory } from './growing-memory.js';
import { hasVectors } from './kernel.js';

/**
 * Takes modes out of lines: lines[i] -= sum over j of factors[i * modes + j] times modeLines[j], mode by mode. All lines are of one length.
 */
export type ModeSubtraction = (
  lines: readonly Float64Array[],
  modeLines: readonly Float64Array[],
  factors: Float64Array,
) => void;

/** In plain TypeScript: what the vector kernel does to the bit; four modes at a time. */
export const subtractModesByNumber: ModeSubtraction = (lines, modeLines, factors) => {
  const modes = modeLines.length;
  lines.forEach((line, i) => {
    const of = factors.subarray(i * modes, (i + 1) * modes);
    let j = 0;
    for (; j + 3 < modes; j += 4) {
      const [a, b, c, d] = [modeLines[j]!, modeLines[j + 1]!, modeLines[j + 2]!, modeLines[j + 3]!];
      const [ofA, ofB, ofC, ofD] = [of[j]!, of[j + 1]!, of[j + 2]!, of[j + 3]!];
      for (let k = 0; k < line.length; k++)
        line[k] = line[k]! - ofA * a[k]! - ofB * b[k]! - ofC * c[k]! - ofD * d[k]!;
    }
    for (; j < modes; j++) {
      const mode = modeLines[j]!;
      for (let k = 0; k < line.length; k++) line[k]! -= of[j]! * mode[k]!;
    }
  });
};

/** Samples at a time: two hundred modes of so many stay in a processor's second cache. */
const stretch = 256;
/** Numbers from one line to the next: a power of two would put all of them into the same few places of the first cache. */
const stride = stretch + 4;

let memory: GrowingMemory | undefined;

/** Four lines and four samples at a time, stretch by stretch in the thread's memory. */
const subtractModesByVectors: ModeSubtraction = (lines, modeLines, factors) => {
  memory ??= new GrowingMemory();
  const modes = modeLines.length;
  const rows = 4 * Math.ceil(lines.length / 4);
  const modesAt = rows * stride;
  const factorsAt = modesAt + modes * stride;
  memory.reserve(factorsAt + rows * modes);
  const { numbers, kernel } = memory;
  for (let row = 0; row < rows; row++)
    for (let j = 0; j < modes; j++)
      numbers[factorsAt + ((row >> 2) * modes + j) * 4 + (row & 3)] = factors[row * modes + j] ?? 0;
  const samples = lines[0]?.length ?? 0;
  for (let from = 0; from < samples; from += stretch) {
    const to = Math.min(from + stretch, samples);
    lines.forEach((line, row) => {
      numbers.set(line.subarray(from, to), row * stride);
    });
    modeLines.forEach((line, j) => {
      numbers.set(line.subarray(from, to), modesAt + j * stride);
    });
    const columns = 4 * Math.ceil((to - from) / 4);
    kernel.subtractModes(0, rows, 8 * factorsAt, 8 * modesAt, modes, columns, 8 * stride);
    lines.forEach((line, row) => {
      line.set(numbers.subarray(row * stride, row * stride + to - from), from);
    });
  }
};

/** By the fastest arithmetic of this runtime; all give the same numbers to the bit. */
export const subtractModes: ModeSubtraction = hasVectors ? subtractModesByVectors : subtractModesByNumber;
