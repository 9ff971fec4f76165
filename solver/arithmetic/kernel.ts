import { kernelBytes } from './kernel-bytes.js';

/** What assembly/*.ts export; arrays are byte addresses in the instance's memory. */
export interface Kernel {
  contract(weights: number, sources: number, count: number, target: number, from: number, to: number): void;
  advance(
    coefficients: number,
    state: number,
    twoZeta: number,
    forces: number,
    added: number,
    departed: number,
    departure: number,
    acceleration: number,
  ): void;
  sampleForces(table: number, indices: number, weights: number, forces: number): void;
  bound(histories: number, count: number, sizes: number, bends: number): void;
  nextCrest(
    history: number,
    from: number,
    to: number,
    upper: number,
    lower: number,
    margin: number,
    share: number,
  ): number;
  /** `screen` and `set` of these three are records, see assembly/records.ts. */
  screenSets(sets: number, setBounds: number, count: number, screen: number): number;
  evaluateRow(
    values: number,
    modes: number,
    modeCount: number,
    source: number,
    sources: number,
    moving: number,
    from: number,
    to: number,
  ): void;
  screenSizes(
    set: number,
    bounds: number,
    screen: number,
    first: number,
    count: number,
    most: number,
    setHigh: number,
    setLow: number,
  ): number;
  screenSamples(
    set: number,
    bounds: number,
    screen: number,
    found: number,
    chosenCount: number,
    columns: number,
    stride: number,
    slack: number,
  ): number;
  respondToContacts(
    shapes: number,
    forces: number,
    predicted: number,
    follows: number,
    modalForces: number,
    coordinates: number,
    wheels: number,
    modes: number,
  ): void;
  deflectUnderContacts(
    shapes: number,
    coordinates: number,
    deflections: number,
    wheels: number,
    modes: number,
  ): void;
  combineRows(
    rows: number,
    target: number,
    stride: number,
    first: number,
    second: number,
    third: number,
    fourth: number,
  ): void;
  project(candidate: number, mass: number, basis: number, count: number, stride: number): number;
  combine(targets: number, basis: number, weights: number, count: number, stride: number, sums: number): void;
  solvePairs(
    forward: number,
    backward: number,
    pivots: number,
    x: number,
    pairs: number,
    window: number,
  ): void;
  multiplyRows(
    starts: number,
    columns: number,
    values: number,
    source: number,
    target: number,
    size: number,
  ): number;
  scale(vector: number, stride: number, factor: number): void;
  addTwoTaps(target: number, source: number, count: number, a: number, b: number): void;
  addFourTaps(
    target: number,
    source: number,
    count: number,
    a: number,
    b: number,
    c: number,
    d: number,
  ): void;
  rotate(rotation: number, source: number, count: number, target: number, sources: number): void;
  subtractModes(
    rows: number,
    rowCount: number,
    factors: number,
    modes: number,
    modeCount: number,
    columns: number,
    stride: number,
  ): void;
}

const bytes = Buffer.from(kernelBytes, 'base64');
let compiled: WebAssembly.Module | undefined;

/** Whether this runtime has vector instructions; all of Node 20 on common processors has. */
export const hasVectors = WebAssembly.validate(bytes);

/**
 * The kernel with a memory of its own.
 *
 * @throws WebAssembly.CompileError where `hasVectors` is false
 */
export function startKernel(memory: WebAssembly.Memory): Kernel {
  compiled ??= new WebAssembly.Module(bytes);
  return new WebAssembly.Instance(compiled, { env: { memory } }).exports as unknown as Kernel;
}
