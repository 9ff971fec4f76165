import type { BandedFactorisation } from './banded-factorisation.js';
import { factoriseHeldTrack } from './held-track.js';
import { alongLine, buildLoadedLine, type LoadedLine, sampleAlongLine } from './influence-lines.js';
import { type LineSamples, trimmed } from './line-samples.js';
import { buildMesh } from './mesh.js';
import type { MovingTrain, StaticLoadModel, Track, Viaduct } from './model.js';
import { worstStaticEffect } from './static-load-model.js';

/** m: seats are two to three of these apart, and what is lost between them is seen. */
const lineStep = 0.25;
/** Share of its peak below which an influence line is not solved on. */
const negligible = 1e-9;

/** Influence lines of the rail's deflection at places along it, the deck held where it is. */
export interface RailInfluence {
  readonly line: LoadedLine;
  /** Sample of the line that each belongs to, ascending. */
  readonly samples: Int32Array;
  /** m per N on the rail. */
  readonly influence: readonly LineSamples[];
}

/** In x along the deck. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

/**
 * The rail on fastenings, slab and bedding at every sample of some stretches, by Maxwell's theorem a unit load at each. All tracks are
 * alike in it.
 *
 * @throws SingularMatrixError when a piece of the track is held by nothing (ask findMechanism first)
 */
export function railInfluence(viaduct: Viaduct, stretches: readonly Stretch[]): RailInfluence {
  const mesh = buildMesh(viaduct, { highestFrequency: 0 });
  const line = buildLoadedLine(mesh, lineStep);
  const held = factoriseHeldTrack(mesh);
  const samples = Int32Array.from({ length: line.count }, (_, sample) => sample).filter((sample) => {
    const x = line.from + sample * line.step;
    return stretches.some(({ from, to }) => x > from - line.step && x < to + line.step);
  });
  const displacement = new Float64Array(held.size);
  const influence = Array.from(samples, (sample) => underUnitLoad(held, line, sample, displacement));
  return { line, samples, influence };
}

/** @param displacement room, zero before and after */
function underUnitLoad(
  held: BandedFactorisation,
  line: LoadedLine,
  sample: number,
  displacement: Float64Array,
): LineSamples {
  const { shapes, freedoms, weights } = line;
  let first = displacement.length - 1;
  let last = 0;
  for (let j = shapes * sample; j < shapes * (sample + 1); j++) {
    const freedom = freedoms[j]!;
    if (freedom < 0) continue;
    displacement[freedom]! += weights[j]!;
    first = Math.min(first, freedom);
    last = Math.max(last, freedom);
  }
  const moved = held.solveLocally(displacement, first, last, negligible);
  const values = trimmed(sampleAlongLine(line, displacement, moved));
  displacement.fill(0, moved.first, moved.last + 1);
  return values;
}

/**
 * How far the rail sinks under the wheels of a train that stands with one axle at x, the worst of its axles in either direction; m,
 * downwards. Linear between the samples.
 */
export function sunkUnderTrain(rail: RailInfluence, train: MovingTrain): (x: number) => number {
  const { step } = rail.line;
  const { positions, loads } = train;
  return overSamples(rail, (values, first, sample) => {
    let worst = 0;
    for (const way of [1, -1]) {
      // Axles this far behind the one at x, up to as far before it, are felt there; both ends move on with that axle.
      const own = sample - first;
      const behind = step * (way === 1 ? own : values.length - 1 - own);
      const before = step * (way === 1 ? values.length - 1 - own : own);
      let from = 0;
      let to = 0;
      for (let axle = 0; axle < positions.length; axle++) {
        while (positions[from]! < positions[axle]! - behind) from++;
        while (to < positions.length && positions[to]! <= positions[axle]! + before) to++;
        let sum = 0;
        for (let other = from; other < to; other++) {
          const place = own + (way * (positions[other]! - positions[axle]!)) / step;
          const index = Math.max(0, Math.floor(place));
          const here = values[index]!;
          sum += loads[other]! * (here + ((values[index + 1] ?? 0) - here) * (place - index));
        }
        worst = Math.max(worst, sum);
      }
    }
    return worst;
  });
}

/** The same of a static load model placed wherever it is worst, without its dynamic factor. */
export function sunkUnderLoadModel(rail: RailInfluence, load: StaticLoadModel): (x: number) => number {
  return overSamples(rail, (values) => worstStaticEffect(load, values, rail.line.step));
}

function overSamples(
  { line, samples, influence }: RailInfluence,
  sunk: (values: Float64Array, first: number, sample: number) => number,
): (x: number) => number {
  const all = new Float64Array(line.count);
  samples.forEach((sample, index) => {
    const { first, values } = influence[index]!;
    all[sample] = sunk(values, first, sample);
  });
  return alongLine(line, all);
}

/** m: one wave of the rail, or of rail and slab, on what holds them; further away a load is felt by less than 0.2 % of what it does below itself (exp(-2 pi)). */
export function waveOnFoundation({ rail, fastening, slab, bedding }: Track): number {
  const seats = fastening.stiffness / fastening.spacing;
  const wave = (rigidity: number, stiffness: number) =>
    stiffness > 0 ? 2 * Math.PI * ((4 * rigidity) / stiffness) ** 0.25 : 0;
  const onSeats = wave(rail.flexuralRigidity, seats);
  if (!slab || !bedding) return onSeats;
  return Math.max(onSeats, wave(rail.flexuralRigidity + slab.flexuralRigidity, bedding.stiffnessPerLength));
}
