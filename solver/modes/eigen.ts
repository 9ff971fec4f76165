import { BandedFactorisation, SingularMatrixError } from '../matrices/banded-factorisation.js';
import { BandedMatrix } from '../matrices/banded-matrix.js';
import { NonzeroRows } from '../matrices/nonzero-rows.js';
import { type Eigenpair, lanczosInInterval } from './lanczos.js';

/** Undamped modes, ascending in frequency, mass-orthonormal. */
export interface Modes {
  /** rad/s. */
  readonly angularFrequencies: Float64Array;
  /** One vector over all degrees of freedom per mode. */
  readonly shapes: readonly Float64Array[];
  /** rad/s: no mode up to here is missing. */
  readonly completeTo: number;
}

const perSlice = 20;
/** Known modes that lie closer to a slice than this share of its width are kept out of its iteration. */
const nearShare = 0.5;

/**
 * All modes of K v = w^2 M v up to the frequency that the assessment needs, none missed: the number of modes in each slice
 * of the spectrum is the difference of two Sturm counts, and the solver must deliver exactly that many.
 *
 * @param atLeast angular frequency up to which they are wanted in any case, rad/s
 * @param highest the one up to which they are wanted, given the first and the third one; below `atLeast` it changes nothing
 * @throws EigenvalueConvergenceError, SingularMatrixError
 */
export function solveModes(
  stiffness: BandedMatrix,
  mass: BandedMatrix,
  atLeast: number,
  highest: (first: number, third: number) => number = () => atLeast,
): Modes {
  const spectra = splitUncoupled(stiffness, mass).map((part) => ({ part, spectrum: new Spectrum(part) }));
  const extend = (frequency: number) => {
    for (const { spectrum } of spectra) spectrum.extendTo(eigenvalueBeyond(frequency));
  };
  extend(atLeast);
  const values = spectra.flatMap(({ spectrum }) => spectrum.modes.map(({ value }) => value));
  const { first, third } =
    values.length < 3 ? firstAndThird(spectra.map(({ part }) => part)) : ofValues(values);
  const completeTo = Math.max(atLeast, highest(first, third));
  if (completeTo > atLeast) extend(completeTo);
  const found = spectra.map(({ part, spectrum }) => ({ offset: part.offset, pairs: spectrum.modes }));
  return inOrder(found, stiffness.size, completeTo);
}

/**
 * The modes above those known, none missed, orthogonal to them as well as among each other.
 *
 * @param known of the same matrices
 * @param highest angular frequency up to which they are wanted, rad/s
 * @throws EigenvalueConvergenceError, SingularMatrixError
 */
export function modesAbove(
  stiffness: BandedMatrix,
  mass: BandedMatrix,
  known: Modes,
  highest: number,
): Modes {
  const found = splitUncoupled(stiffness, mass).map((part) => {
    const end = part.offset + part.stiffness.size;
    const pairs = known.shapes.flatMap((shape, mode) => {
      const vector = shape.subarray(part.offset, end);
      return vector.some((value) => value !== 0)
        ? [{ value: known.angularFrequencies[mode]! ** 2, vector }]
        : [];
    });
    const spectrum = new Spectrum(part, { modes: pairs, top: eigenvalueBeyond(known.completeTo) });
    if (highest > known.completeTo) spectrum.extendTo(eigenvalueBeyond(highest));
    return { offset: part.offset, pairs: spectrum.modes.slice(pairs.length) };
  });
  return inOrder(found, stiffness.size, Math.max(highest, known.completeTo));
}

/** Where a slice that is to hold a frequency ends; what differs from it by rounding belongs to it as well. */
function eigenvalueBeyond(frequency: number): number {
  return (frequency * (1 + 1e-7)) ** 2;
}

/** The modes of all parts, from the lowest to the highest. */
function inOrder(
  parts: readonly { readonly offset: number; readonly pairs: readonly Eigenpair[] }[],
  size: number,
  completeTo: number,
): Modes {
  const found = parts.flatMap(({ offset, pairs }) =>
    pairs.map(({ value, vector }) => ({ value, shape: withSign(inWhole(vector, offset, size)) })),
  );
  found.sort((a, b) => a.value - b.value);
  return {
    angularFrequencies: Float64Array.from(found, ({ value }) => Math.sqrt(value)),
    shapes: found.map(({ shape }) => shape),
    completeTo,
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
  return ofValues(parts.flatMap((part) => lowestValues(part, 3)));
}

/** Of eigenvalues in any order; the last one where there is no third. */
function ofValues(values: readonly number[]): { readonly first: number; readonly third: number } {
  const lowest = [...values].sort((a, b) => a - b);
  return { first: Math.sqrt(lowest[0]!), third: Math.sqrt(lowest[Math.min(2, lowest.length - 1)]!) };
}

/** Number of eigenvalues below a value, by the inertia of K - value M (Sylvester). A value on an eigenvalue is nudged. */
export function countBelow(stiffness: BandedMatrix, mass: BandedMatrix, value: number): number {
  return eigenvaluesBelow({ stiffness, mass, shifted: roomFor(stiffness) }, value);
}

const eigenvaluesBelow = (part: Shiftable, value: number) =>
  factorShifted(part, value).factorisation.negativePivots;

interface Part extends Shiftable {
  readonly offset: number;
}

/** K and M, and room for K - shift M, which the next shift takes again. */
interface Shiftable {
  readonly stiffness: BandedMatrix;
  readonly mass: BandedMatrix;
  readonly shifted: BandedMatrix;
}

const roomFor = ({ size, halfBandwidth, border }: BandedMatrix) =>
  new BandedMatrix(size, halfBandwidth, border);

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
    const own = slice(stiffness, start, end);
    return { offset: start, stiffness: own, mass: slice(mass, start, end), shifted: roomFor(own) };
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

function lowestValues(part: Part, count: number): number[] {
  const { stiffness, mass } = part;
  const wanted = Math.min(count, stiffness.size);
  let high = Math.max(1, stiffness.get(0, 0) / mass.get(0, 0)) * 1e-6;
  while (eigenvaluesBelow(part, high) < wanted) high *= 8;
  let low = 0;
  for (let step = 0; step < 60 && eigenvaluesBelow(part, high) > wanted + 8; step++) {
    const middle = (low + high) / 2;
    if (eigenvaluesBelow(part, middle) >= wanted) high = middle;
    else low = middle;
  }
  const spectrum = new Spectrum(part);
  spectrum.extendTo(high);
  return spectrum.modes
    .map(({ value }) => value)
    .sort((a, b) => a - b)
    .slice(0, wanted);
}

/** The lowest modes of one part, found slice by slice upwards. */
class Spectrum {
  readonly modes: Eigenpair[];
  private readonly massRows: NonzeroRows;
  private top: number;
  private count: number;

  /** @param known all modes below an eigenvalue, ascending */
  constructor(
    private readonly part: Part,
    known: { readonly modes: readonly Eigenpair[]; readonly top: number } = { modes: [], top: 0 },
  ) {
    this.massRows = new NonzeroRows(part.mass);
    this.modes = [...known.modes];
    this.top = known.top;
    this.count = known.modes.length;
  }

  /** Finds all modes below an eigenvalue; those below the ones before are there already. */
  extendTo(top: number): void {
    const { part, modes, massRows } = this;
    let above: readonly Eigenpair[] = [];
    const visit = (from: number, below: number, to: number, upTo: number, depth: number): void => {
      const wanted = upTo - below;
      if (wanted === 0) return;
      if (wanted > perSlice && depth < 60) {
        const middle = from + (to - from) / 2;
        const count = eigenvaluesBelow(part, middle);
        visit(from, below, middle, count, depth + 1);
        visit(middle, count, to, upTo, depth + 1);
        return;
      }
      const shift = from + (to - from) / 2;
      const { factorisation, value } = factorShifted(part, shift);
      const interval = { from, to, shift: value, wanted };
      // Slices come in ascending order: those just below this one are known, and some that belong to it.
      const near = from - nearShare * (to - from);
      const known = [...modes.slice(-perSlice).filter((pair) => pair.value >= near), ...above];
      const pairs = lanczosInInterval(factorisation, massRows, interval, known);
      modes.push(...pairs.within);
      above = [...above.filter((pair) => pair.value >= to), ...pairs.above].filter(
        (pair) => pair.value < top,
      );
    };
    const count = eigenvaluesBelow(part, top);
    visit(this.top, this.count, top, count, 0);
    this.top = top;
    this.count = count;
  }
}

/** K - shift M; a shift that hits an eigenvalue is moved by a millionth, a few times if need be. The factorisation holds until the next. */
function factorShifted({ stiffness, mass, shifted }: Shiftable, shift: number) {
  let value = shift;
  for (let attempt = 0; ; attempt++) {
    try {
      shifted.setSum(stiffness, mass, -value);
      return { factorisation: new BandedFactorisation(shifted, undefined, true), value };
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
