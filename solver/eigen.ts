import { BandedFactorisation, SingularMatrixError } from './banded-factorisation.js';
import { BandedMatrix } from './banded-matrix.js';
import { type Eigenpair, lanczosInInterval } from './lanczos.js';
import { NonzeroRows } from './nonzero-rows.js';

/** Undamped modes, ascending in frequency, mass-orthonormal. */
export interface Modes {
  /** rad/s. */
  readonly angularFrequencies: Float64Array;
  /** One vector over all degrees of freedom per mode. */
  readonly shapes: readonly Float64Array[];
}

const perSlice = 32;
/** Known modes that lie closer to a slice than this share of its width are kept out of its iteration. */
const nearShare = 0.5;

/**
 * All modes of K v = w^2 M v up to the frequency that the assessment needs, none missed: the number of modes in each slice
 * of the spectrum is the difference of two Sturm counts, and the solver must deliver exactly that many.
 *
 * @param highest angular frequency wanted, given the first and the third one (all in rad/s)
 * @throws EigenvalueConvergenceError, SingularMatrixError
 */
export function solveModes(
  stiffness: BandedMatrix,
  mass: BandedMatrix,
  highest: (first: number, third: number) => number,
): Modes {
  const parts = splitUncoupled(stiffness, mass);
  const { first, third } = firstAndThird(parts);
  const top = (highest(first, third) * (1 + 1e-7)) ** 2;
  const found: { value: number; shape: Float64Array }[] = [];
  for (const part of parts) {
    for (const { value, vector } of modesBelow(part.stiffness, part.mass, top)) {
      found.push({ value, shape: withSign(inWhole(vector, part.offset, stiffness.size)) });
    }
  }
  found.sort((a, b) => a.value - b.value);
  return {
    angularFrequencies: Float64Array.from(found, ({ value }) => Math.sqrt(value)),
    shapes: found.map(({ shape }) => shape),
  };
}

/** A part's vector over all degrees of freedom; the vector itself where the part is the whole. */
function inWhole(vector: Float64Array, offset: number, size: number): Float64Array {
  if (vector.length === size) return vector;
  const whole = new Float64Array(size);
  whole.set(vector, offset);
  return whole;
}

/** The first and the third angular frequency alone. */
export function lowestFrequencies(
  stiffness: BandedMatrix,
  mass: BandedMatrix,
): { readonly first: number; readonly third: number } {
  return firstAndThird(splitUncoupled(stiffness, mass));
}

function firstAndThird(parts: readonly Part[]): { readonly first: number; readonly third: number } {
  const lowest = parts.flatMap((part) => lowestValues(part.stiffness, part.mass, 3)).sort((a, b) => a - b);
  return { first: Math.sqrt(lowest[0]!), third: Math.sqrt(lowest[Math.min(2, lowest.length - 1)]!) };
}

/** Number of eigenvalues below a value, by the inertia of K - value M (Sylvester). A value on an eigenvalue is nudged. */
export function countBelow(stiffness: BandedMatrix, mass: BandedMatrix, value: number): number {
  return factorShifted(stiffness, mass, value).factorisation.negativePivots;
}

interface Part {
  readonly offset: number;
  readonly stiffness: BandedMatrix;
  readonly mass: BandedMatrix;
}

/** Deck units that nothing couples have repeated frequencies; solved one by one each is simple. */
function splitUncoupled(stiffness: BandedMatrix, mass: BandedMatrix): Part[] {
  const { size, halfBandwidth, border } = stiffness;
  const width = halfBandwidth + 1;
  const inner = size - border;
  const reach = new Int32Array(size);
  for (let i = inner; i < size; i++) {
    const row = (i - inner) * size;
    let j = 0;
    while (j < i && stiffness.full[row + j] === 0 && mass.full[row + j] === 0) j++;
    reach[i] = j;
  }
  for (let i = 0; i < inner; i++) {
    let j = Math.max(0, i - halfBandwidth);
    while (
      j < i &&
      stiffness.data[i * width + j - i + halfBandwidth] === 0 &&
      mass.data[i * width + j - i + halfBandwidth] === 0
    )
      j++;
    reach[i] = j;
  }
  let lowest = size;
  const starts: number[] = [];
  for (let i = size - 1; i >= 0; i--) {
    lowest = Math.min(lowest, reach[i]!);
    if (lowest === i) starts.push(i);
  }
  starts.reverse();
  return starts.map((start, index) => {
    const end = starts[index + 1] ?? size;
    return { offset: start, stiffness: slice(stiffness, start, end), mass: slice(mass, start, end) };
  });
}

function slice(matrix: BandedMatrix, start: number, end: number): BandedMatrix {
  const inner = matrix.size - matrix.border;
  const part = new BandedMatrix(end - start, matrix.halfBandwidth, Math.max(0, end - Math.max(start, inner)));
  const width = matrix.halfBandwidth + 1;
  part.data.set(matrix.data.subarray(start * width, Math.min(end, inner) * width));
  for (let i = Math.max(start, inner); i < end; i++) {
    const row = (i - inner) * matrix.size;
    part.full.set(matrix.full.subarray(row + start, row + end), (i - Math.max(start, inner)) * part.size);
  }
  return part;
}

function lowestValues(stiffness: BandedMatrix, mass: BandedMatrix, count: number): number[] {
  const wanted = Math.min(count, stiffness.size);
  let high = Math.max(1, stiffness.get(0, 0) / mass.get(0, 0)) * 1e-6;
  while (countBelow(stiffness, mass, high) < wanted) high *= 8;
  let low = 0;
  for (let step = 0; step < 60 && countBelow(stiffness, mass, high) > wanted + 8; step++) {
    const middle = (low + high) / 2;
    if (countBelow(stiffness, mass, middle) >= wanted) high = middle;
    else low = middle;
  }
  return modesBelow(stiffness, mass, high)
    .map(({ value }) => value)
    .sort((a, b) => a - b)
    .slice(0, wanted);
}

function modesBelow(stiffness: BandedMatrix, mass: BandedMatrix, top: number): readonly Eigenpair[] {
  const modes: Eigenpair[] = [];
  let above: readonly Eigenpair[] = [];
  const massRows = new NonzeroRows(mass);
  const visit = (from: number, below: number, to: number, upTo: number, depth: number): void => {
    const wanted = upTo - below;
    if (wanted === 0) return;
    if (wanted > perSlice && depth < 60) {
      const middle = from + (to - from) / 2;
      const count = countBelow(stiffness, mass, middle);
      visit(from, below, middle, count, depth + 1);
      visit(middle, count, to, upTo, depth + 1);
      return;
    }
    const shift = from + (to - from) / 2;
    const { factorisation, value } = factorShifted(stiffness, mass, shift);
    // Slices come in ascending order: those just below this one are known, and some that belong to it.
    const near = from - nearShare * (to - from);
    const known = [...modes.slice(-perSlice).filter((pair) => pair.value >= near), ...above];
    const pairs = lanczosInInterval(factorisation, massRows, value, from, to, wanted, known);
    modes.push(...pairs.within);
    above = [...above.filter((pair) => pair.value >= to), ...pairs.above].filter((pair) => pair.value < top);
  };
  visit(0, 0, top, countBelow(stiffness, mass, top), 0);
  return modes;
}

/** K - shift M; a shift that hits an eigenvalue is moved by a millionth, a few times if need be. */
function factorShifted(stiffness: BandedMatrix, mass: BandedMatrix, shift: number) {
  let value = shift;
  for (let attempt = 0; ; attempt++) {
    try {
      return { factorisation: new BandedFactorisation(stiffness.plus(mass, -value)), value };
    } catch (error) {
      if (!(error instanceof SingularMatrixError) || attempt === 4 || shift === 0) throw error;
      value *= 1 + 1e-6;
    }
  }
}

/** The largest component of a shape points downwards, so that pictures and results do not flip between machines. */
function withSign(shape: Float64Array): Float64Array {
  let largest = 0;
  for (let i = 0; i < shape.length; i++)
    if (Math.abs(shape[i]!) > Math.abs(largest) * (1 + 1e-9)) largest = shape[i]!;
  if (largest < 0) for (let i = 0; i < shape.length; i++) shape[i] = -shape[i]!;
  return shape;
}
