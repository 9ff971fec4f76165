import type { DynamicModel } from '../../solver/dynamic-model.js';
import { largestSize } from '../../solver/line-samples.js';
import type { MovingTrain } from '../../solver/model.js';
import { rowsOf } from '../../solver/response-rows.js';
import { bySpeed, isNear } from './speed-order.js';

export interface ResonanceSpeed {
  readonly speedKmh: number;
  /** Share of the strongest line: train spectrum times modal participation. */
  readonly strength: number;
}

const highestOrder = 12;
const weakest = 0.1;
const most = 24;

/**
 * Speeds f_j d / i at which the train's rhythm meets a natural frequency (f_j frequency, d a regular distance of axle groups,
 * i = 1, 2, 3, ...; L. Frýba, Dynamics of Railway Bridges, 1996 (mem)), those kept that the train's axle spectrum and the mode's
 * participation make strong. Lines closer than a quarter of the resonance width are one.
 */
export function resonanceSpeeds(
  dynamics: DynamicModel,
  train: MovingTrain,
  fromKmh: number,
  toKmh: number,
): ResonanceSpeed[] {
  const lines: ResonanceSpeed[] = [];
  const participation = modeParticipation(dynamics);
  const { angularFrequencies } = dynamics.modes;
  let strongest = 0;
  for (let mode = 0; mode < angularFrequencies.length; mode++) {
    const frequency = angularFrequencies[mode]! / (2 * Math.PI);
    for (const distance of train.regularDistances) {
      for (let order = 1; order <= highestOrder; order++) {
        const speedKmh = (3.6 * frequency * distance) / order;
        if (speedKmh < fromKmh || speedKmh > toKmh) continue;
        const strength =
          (participation[mode]! * axleSpectrum(train, order / distance)) / dynamics.dampingRatios[mode]!;
        strongest = Math.max(strongest, strength);
        lines.push({ speedKmh, strength });
      }
    }
  }
  const width = leastDampingRatio(dynamics);
  const kept: ResonanceSpeed[] = [];
  const speeds: number[] = [];
  for (const { speedKmh, strength } of lines.sort(strongestFirst)) {
    if (strength < weakest * strongest || kept.length === most) break;
    if (isNear(speeds, speedKmh, 0.5 * width * speedKmh)) continue;
    speeds.push(speedKmh);
    kept.push({ speedKmh, strength: strength / strongest });
  }
  return kept.sort(bySpeed);
}

const strongestFirst = (a: ResonanceSpeed, b: ResonanceSpeed): number =>
  b.strength - a.strength || a.speedKmh - b.speedKmh;

/** Of all modes. */
export function leastDampingRatio({ dampingRatios }: DynamicModel): number {
  let least = 1;
  for (let mode = 0; mode < dampingRatios.length; mode++) least = Math.min(least, dampingRatios[mode]!);
  return least;
}

const known = new WeakMap<DynamicModel, Float64Array>();

/** The same for all trains. */
function modeParticipation(dynamics: DynamicModel): Float64Array {
  const participation = known.get(dynamics) ?? participationOf(dynamics);
  known.set(dynamics, participation);
  return participation;
}

/** Largest deck ordinate times largest of the loaded line: how well axles drive the mode and how far the deck answers. */
function participationOf(dynamics: DynamicModel): Float64Array {
  const count = dynamics.modes.shapes.length;
  const participation = new Float64Array(count);
  const decks = rowsOf(dynamics.rows, 'deck-acceleration');
  for (let mode = 0; mode < count; mode++) {
    let deck = 0;
    for (const row of decks) deck = Math.max(deck, Math.abs(dynamics.modalValues[row * count + mode]!));
    let loaded = 0;
    for (const { modeLines } of dynamics.tracks) {
      loaded = Math.max(loaded, largestSize(modeLines[mode]!));
    }
    participation[mode] = deck * loaded;
  }
  return participation;
}

/** |sum of P exp(2 pi i a k)|, the axle row's spectrum at wave number k (1/m). */
function axleSpectrum(train: MovingTrain, waveNumber: number): number {
  let real = 0;
  let imaginary = 0;
  for (let axle = 0; axle < train.positions.length; axle++) {
    const phase = 2 * Math.PI * train.positions[axle]! * waveNumber;
    real += train.loads[axle]! * Math.cos(phase);
    imaginary += train.loads[axle]! * Math.sin(phase);
  }
  return Math.hypot(real, imaginary);
}
