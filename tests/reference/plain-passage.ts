import type { DynamicModel } from '../../solver/dynamic-model/dynamic-model.js';
import type { InfluenceJump, InfluenceLine } from '../../solver/jumps/influence-jumps.js';
import { wholeLine } from '../../solver/lines/line-samples.js';
import { elementFreedoms } from '../../solver/mesh/assembly.js';
import { shapeFunctions } from '../../solver/mesh/beam-element.js';
import type { Direction } from '../../solver/passage/train-tables.js';
import type { Peaks } from '../../solver/peaks/peaks.js';
import { linearRecurrence } from '../../solver/vehicle/linear-recurrence.js';
import type { MovingTrain } from '../../solver/viaduct/model.js';

export interface PlainPassageOptions {
  readonly samplesPerPeriod: number;
  /** m that the train moves in a step at most. */
  readonly longestMove: number;
  /** s of free vibration after the last axle. */
  readonly freeVibration: number;
}

export interface PlainPassage extends Peaks {
  readonly steps: number;
}

/**
 * The passage as a textbook has it: at every step the force on every mode summed over the axles from the mode's shape under each,
 * the exact step for linear force, and every row summed over all modes and all axles. Nothing is tabulated in the head's
 * position, bounded, skipped or interpolated between steps; the largest and smallest samples are the peaks.
 */
export function plainPassage(
  model: DynamicModel,
  train: MovingTrain,
  direction: Direction,
  speed: number,
  options: PlainPassageOptions,
): PlainPassage {
  const { line, rows, modes, modalValues } = model;
  const count = modes.shapes.length;
  const w = modes.angularFrequencies;
  const timeStep = Math.min(
    (2 * Math.PI) / w[count - 1]! / options.samplesPerPeriod,
    options.longestMove / speed,
  );
  const lineLength = (line.count - 1) * line.step;
  const trainLength = train.positions.at(-1)!;
  const steps = Math.ceil(((lineLength + trainLength) / speed + options.freeVibration) / timeStep);
  const step = new Float64Array(8 * count);
  for (let j = 0; j < count; j++) linearRecurrence(w[j]!, model.dampingRatios[j]!, timeStep, step, 8 * j);
  const under = modeUnderWheel(model);
  const largest = new Float64Array(rows.length);
  const smallest = new Float64Array(rows.length);
  const q = new Float64Array(count);
  const v = new Float64Array(count);
  const p = new Float64Array(count);
  const wheel = new Float64Array(count);
  const departure = new Float64Array(count);
  const acceleration = new Float64Array(count);
  const positions = new Float64Array(train.positions.length);
  const ordinates = model.influenceLines.map((influence) => influence && ordinatesOf(influence, line.count));

  for (let k = 1; k <= steps; k++) {
    const force = new Float64Array(count);
    for (let axle = 0; axle < positions.length; axle++) {
      const along = k * timeStep * speed - train.positions[axle]!;
      positions[axle] = direction === 'forward' ? along : lineLength - along;
      if (along < 0 || along > lineLength) continue;
      under(positions[axle]!, wheel);
      for (let j = 0; j < count; j++) force[j]! += train.loads[axle]! * wheel[j]!;
    }
    for (let j = 0; j < count; j++) {
      const a = 8 * j;
      const [q0, v0, p0, p1] = [q[j]!, v[j]!, p[j]!, force[j]!];
      q[j] = step[a]! * q0 + step[a + 1]! * v0 + step[a + 2]! * p0 + step[a + 3]! * p1;
      v[j] = step[a + 4]! * q0 + step[a + 5]! * v0 + step[a + 6]! * p0 + step[a + 7]! * p1;
      p[j] = p1;
      departure[j] = q[j]! - p1 / (w[j]! * w[j]!);
      acceleration[j] = p1 - 2 * model.dampingRatios[j]! * w[j]! * v[j]! - w[j]! * w[j]! * q[j]!;
    }
    for (let row = 0; row < rows.length; row++) {
      const ordinate = ordinates[row];
      const modal = ordinate ? departure : acceleration;
      let value = 0;
      for (let j = 0; j < count; j++) value += modalValues[row * count + j]! * modal[j]!;
      if (ordinate) {
        for (let axle = 0; axle < positions.length; axle++)
          value += train.loads[axle]! * ordinate(positions[axle]! / line.step);
      }
      if (value > largest[row]!) largest[row] = value;
      if (value < smallest[row]!) smallest[row] = value;
    }
  }
  return { largest, smallest, steps };
}

/** An influence line at any place, in samples: straight between samples, and up to either side of a jump. */
function ordinatesOf(influence: InfluenceLine, count: number): (at: number) => number {
  const samples = wholeLine(influence, count);
  /** Limits at both ends of the interval that begins at a sample. */
  const starts = Float64Array.from(samples);
  const ends = Float64Array.from(samples.keys(), (k) => samples[k + 1] ?? 0);
  const within = new Map<number, InfluenceJump>();
  for (const jump of influence.jumps) {
    const nearest = Math.round(jump.at);
    if (Math.abs(jump.at - nearest) < 1e-6) {
      starts[nearest] = jump.beyond;
      ends[nearest - 1] = jump.before;
    } else within.set(Math.floor(jump.at), jump);
  }
  return (at) => {
    const index = Math.floor(at);
    if (index < 0 || index + 1 >= count) return 0;
    const along = at - index;
    const jump = within.get(index);
    if (!jump) return starts[index]! + (ends[index]! - starts[index]!) * along;
    const share = jump.at - index;
    return along < share
      ? starts[index]! + ((jump.before - starts[index]!) * along) / share
      : jump.beyond + ((ends[index]! - jump.beyond) * (along - share)) / (1 - share);
  };
}

/** Deflection of every mode under a wheel at a distance from the start of the line, from the element's own shape functions. */
function modeUnderWheel({ mesh, modes, line }: DynamicModel): (along: number, target: Float64Array) => void {
  const elements = mesh.tracks[line.track]?.rail ?? mesh.deck;
  const lineLength = (line.count - 1) * line.step;
  const ramp = mesh.rail.length > 0 ? mesh.grid.approach / 2 : 0;
  const shape = new Float64Array(4);
  let index = 0;
  return (along, target) => {
    target.fill(0);
    const x = line.from + along;
    while (index > 0 && x < elements[index]!.x) index--;
    while (index + 1 < elements.length && x >= elements[index + 1]!.x) index++;
    const element = elements[index]!;
    if (x < element.x || x > element.x + element.length) return;
    shapeFunctions(element, x - element.x, shape);
    // The wheel comes onto the line over the outer half of the approach.
    const t = ramp === 0 ? 1 : Math.min(1, Math.min(along, lineLength - along) / ramp);
    const share = t ** 3 * (10 - 15 * t + 6 * t * t);
    elementFreedoms(element).forEach((freedom, k) => {
      if (freedom < 0) return;
      for (let j = 0; j < target.length; j++) target[j]! += share * shape[k]! * modes.shapes[j]![freedom]!;
    });
    if (line.eccentricity === 0) return;
    const t1 = (x - element.x) / element.length;
    for (const [freedom, part] of [
      [element.start.twist, 1 - t1],
      [element.end.twist, t1],
    ] as const)
      if (freedom >= 0)
        for (let j = 0; j < target.length; j++)
          target[j]! += line.eccentricity * part * modes.shapes[j]![freedom]!;
  };
}
