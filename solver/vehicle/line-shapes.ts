import { type ContactModes, combineRows, modeStride } from '../arithmetic/contact-modes.js';
import type { DynamicModel } from '../dynamic-model/dynamic-model.js';
import { type LoadedLine, shareOnTrack } from '../lines/loaded-line.js';
import { elementFreedoms } from '../mesh/assembly.js';
import { shapeFunctions } from '../mesh/beam-element.js';
import { shareOnLine } from './share-on-line.js';

/** Deflection of the line in each mode. */
export interface LineShapes {
  /** What `place` takes shapes from; null where it needs none. */
  readonly table: Float64Array | null;
  /**
   * Deflection in each mode under a wheel, less what the ground beyond the modelled track takes of it (see `shareOnLine`).
   *
   * @param sample number of the loaded line, fractions allowed, 0 to its last
   * @param target where they go, zeros beyond the modes: of `modeStride` numbers
   */
  write(sample: number, target: Float64Array): void;
  /** The same for a wheel whose modes are to move; `contact` holds the table. */
  place(sample: number, contact: ContactModes, wheel: number): void;
}

/** Shapes of a deck that wheels run on themselves: at its samples, linear in between, as forces on it are taken everywhere. */
export class DeckShapes implements LineShapes {
  readonly table = null;
  /** Samples x modes, sample by sample. */
  private readonly values: Float64Array;
  private readonly modes: number;
  private readonly count: number;

  constructor({ line, modeLines }: DynamicModel) {
    const modes = modeLines.length;
    this.modes = modes;
    this.count = line.count;
    this.values = new Float64Array(line.count * modes);
    modeLines.forEach((samples, mode) => {
      for (let k = 0; k < line.count; k++) this.values[k * modes + mode] = samples[k]!;
    });
  }

  write(sample: number, target: Float64Array): void {
    this.writeTo(sample, target, 0);
  }

  place(sample: number, { shapes, stride }: ContactModes, wheel: number): void {
    this.writeTo(sample, shapes, wheel * stride);
  }

  private writeTo(sample: number, target: Float64Array, offset: number): void {
    const { values, modes, count } = this;
    const index = Math.min(Math.floor(sample), count - 2);
    const fraction = sample - index;
    const here = index * modes;
    const next = here + modes;
    for (let j = 0; j < modes; j++) {
      const value = values[here + j]!;
      target[offset + j] = value + (values[next + j]! - value) * fraction;
    }
  }
}

/** Shapes of a rail: deflection and rotation at its nodes, and the form of the beam between them. */
export class RailShapes implements LineShapes {
  /** Two rows a node: its deflections in all modes, then its rotations. */
  readonly table: Float64Array;
  private readonly stride: number;
  private readonly line: LoadedLine;
  private readonly approach: number;
  private readonly weights = new Float64Array(4);

  /** @param shapes over all degrees of freedom, one vector per mode */
  constructor(
    private readonly model: DynamicModel,
    shapes: readonly Float64Array[],
  ) {
    const { line, mesh } = model;
    const { rail } = line;
    const stride = modeStride(shapes.length);
    this.line = line;
    this.stride = stride;
    this.approach = mesh.grid.approach;
    this.table = new Float64Array(2 * (rail.length + 1) * stride);
    rail.forEach((element, index) => {
      elementFreedoms(element).forEach((freedom, place) => {
        if (freedom < 0) return;
        const row = (2 * index + place) * stride;
        for (let mode = 0; mode < shapes.length; mode++) this.table[row + mode] = shapes[mode]![freedom]!;
      });
    });
  }

  write(sample: number, target: Float64Array): void {
    const row = this.rowAt(sample);
    combineRows(this.table, this.stride, row, this.weights, target, 0);
  }

  place(sample: number, contact: ContactModes, wheel: number): void {
    const row = this.rowAt(sample);
    contact.combineRows(wheel, row, this.weights);
  }

  /** First row of the element under a wheel; the weights of its four rows are set. */
  private rowAt(sample: number): number {
    const { line, weights } = this;
    const { rail, railElement } = line;
    const x = line.from + sample * line.step;
    let index = railElement[Math.floor(sample)]!;
    while (index + 1 < rail.length && x >= rail[index + 1]!.x) index++;
    const element = rail[index]!;
    shapeFunctions(element, Math.min(Math.max(x - element.x, 0), element.length), weights);
    const share = this.shareAt(sample);
    for (let k = 0; k < 4; k++) weights[k]! *= share;
    return 2 * index;
  }

  /** What the track takes of the load of a wheel, as everywhere, less what the ground takes of its contact. */
  private shareAt(sample: number): number {
    const { line, approach, model } = this;
    const inside = Math.min(sample, line.count - 1 - sample) * line.step;
    return shareOnTrack(inside, approach) * shareOnLine(model, sample);
  }
}
