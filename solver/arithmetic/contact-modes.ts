import { GrowingMemory } from './growing-memory.js';
import { hasVectors } from './kernel.js';

/**
 * The modes at the end of a time step under wheel forces that are iterated. All that counts is written anew in each step (shapes of wheels
 * off the line may be old, their forces are 0): the next call of `contactModes` may take the arrays for another train.
 */
export abstract class ContactModes {
  /** Numbers from one wheel's shapes to the next: a multiple of eight, zeros beyond the modes. */
  readonly stride: number;
  /** wheels x `stride`: deflection of the line in each mode under each wheel. */
  readonly shapes: Float64Array;
  /** Per wheel; 0 where it is not on the line. */
  readonly forces: Float64Array;
  /** Per mode: the coordinate without a force at the end of the step, and what a unit of modal force adds to it. */
  readonly predicted: Float64Array;
  readonly follows: Float64Array;
  /** Per mode, written by `respond`. */
  readonly modalForces: Float64Array;
  readonly coordinates: Float64Array;
  /** Per wheel, written by `deflect`: deflection of the line under it. */
  readonly deflections: Float64Array;

  /** @param allocate zeros, so many numbers */
  constructor(modes: number, wheels: number, allocate: (length: number) => Float64Array) {
    const stride = modeStride(modes);
    this.stride = stride;
    this.shapes = allocate(wheels * stride);
    this.predicted = allocate(stride);
    this.follows = allocate(stride);
    this.modalForces = allocate(stride);
    this.coordinates = allocate(stride);
    this.forces = allocate(wheels);
    this.deflections = allocate(wheels);
  }

  /** From the forces to modal forces and coordinates. */
  abstract respond(): void;

  /** From the coordinates to deflections. */
  abstract deflect(): void;

  /**
   * Shapes under a wheel from four rows of the table, one after the other: of each `weights` times as much.
   *
   * @param row the first of them
   */
  abstract combineRows(wheel: number, row: number, weights: Float64Array): void;
}

/** In plain TypeScript: what the vector kernel does to the bit, a number at a time. */
export class ScalarContactModes extends ContactModes {
  constructor(
    modes: number,
    wheels: number,
    private readonly table: Float64Array | null = null,
  ) {
    super(modes, wheels, (length) => new Float64Array(length));
  }

  override combineRows(wheel: number, row: number, weights: Float64Array): void {
    const { stride, shapes } = this;
    if (this.table) combineRows(this.table, stride, row, weights, shapes, wheel * stride);
  }

  override respond(): void {
    const { stride, shapes, forces, predicted, follows, modalForces, coordinates } = this;
    modalForces.fill(0);
    for (let wheel = 0; wheel < forces.length; wheel++) {
      const force = forces[wheel]!;
      const base = wheel * stride;
      for (let j = 0; j < stride; j++) modalForces[j]! += force * shapes[base + j]!;
    }
    for (let j = 0; j < stride; j++) coordinates[j] = predicted[j]! + follows[j]! * modalForces[j]!;
  }

  override deflect(): void {
    const { stride, shapes, forces, coordinates, deflections } = this;
    for (let wheel = 0; wheel < forces.length; wheel++) {
      const base = wheel * stride;
      let first = 0;
      let second = 0;
      let third = 0;
      let fourth = 0;
      for (let j = 0; j < stride; j += 4) {
        first += shapes[base + j]! * coordinates[j]!;
        second += shapes[base + j + 1]! * coordinates[j + 1]!;
        third += shapes[base + j + 2]! * coordinates[j + 2]!;
        fourth += shapes[base + j + 3]! * coordinates[j + 3]!;
      }
      deflections[wheel] = first + third + (second + fourth);
    }
  }
}

/** Four rows of a table, one after the other, of each so many times as much. */
export function combineRows(
  table: Float64Array,
  stride: number,
  row: number,
  weights: Float64Array,
  target: Float64Array,
  offset: number,
): void {
  const first = row * stride;
  const second = first + stride;
  const third = second + stride;
  const fourth = third + stride;
  for (let j = 0; j < stride; j++) {
    target[offset + j] =
      weights[0]! * table[first + j]! +
      weights[1]! * table[second + j]! +
      (weights[2]! * table[third + j]! + weights[3]! * table[fourth + j]!);
  }
}

/** Two numbers per instruction, in a memory of its own. */
class VectorContactModes extends ContactModes {
  private readonly table: number;

  constructor(
    private readonly memory: GrowingMemory,
    modes: number,
    wheels: number,
    table: Float64Array | null,
  ) {
    const own = (wheels + 4) * modeStride(modes) + 2 * wheels;
    memory.reserve(own + (table?.length ?? 0));
    let next = 0;
    super(modes, wheels, (length) => {
      const array = new Float64Array(memory.numbers.buffer, 8 * next, length).fill(0);
      next += length;
      return array;
    });
    this.table = 8 * own;
    if (table) memory.numbers.set(table, own);
  }

  override combineRows(wheel: number, row: number, weights: Float64Array): void {
    const { kernel } = this.memory;
    kernel.combineRows(
      this.table + 8 * row * this.stride,
      this.shapes.byteOffset + 8 * wheel * this.stride,
      this.stride,
      weights[0]!,
      weights[1]!,
      weights[2]!,
      weights[3]!,
    );
  }

  override respond(): void {
    this.memory.kernel.respondToContacts(
      this.shapes.byteOffset,
      this.forces.byteOffset,
      this.predicted.byteOffset,
      this.follows.byteOffset,
      this.modalForces.byteOffset,
      this.coordinates.byteOffset,
      this.forces.length,
      this.stride,
    );
  }

  override deflect(): void {
    this.memory.kernel.deflectUnderContacts(
      this.shapes.byteOffset,
      this.coordinates.byteOffset,
      this.deflections.byteOffset,
      this.forces.length,
      this.stride,
    );
  }
}

/** Numbers from one wheel's shapes to the next, and from one row of a table of shapes to the next: a multiple of eight. */
export function modeStride(modes: number): number {
  return 8 * Math.ceil(modes / 8);
}

let memory: GrowingMemory | undefined;
let latest:
  | {
      readonly modes: number;
      readonly wheels: number;
      readonly table: Float64Array | null;
      readonly contact: ContactModes;
    }
  | undefined;

/**
 * The fastest arithmetic of this runtime, one step at a time; all give the same numbers to the bit.
 *
 * @param table rows of shapes for `combineRows`, of `modeStride` numbers each, which never change
 */
export function contactModes(modes: number, wheels: number, table: Float64Array | null = null): ContactModes {
  if (latest?.modes === modes && latest.wheels === wheels && latest.table === table) return latest.contact;
  if (hasVectors) memory ??= new GrowingMemory();
  const contact = memory
    ? new VectorContactModes(memory, modes, wheels, table)
    : new ScalarContactModes(modes, wheels, table);
  latest = { modes, wheels, table, contact };
  return contact;
}
