import { kmhPerMetrePerSecond } from '../../scenarios/speed-units.js';
import type { DynamicModel } from '../../solver/dynamic-model/dynamic-model.js';
import { type ModeSpectra, modeSpectra } from '../../solver/modes/mode-spectra.js';
import { rowsOf } from '../../solver/rows/response-rows.js';
import type { MovingTrain } from '../../solver/viaduct/model.js';
import type { ModeLifts } from './mode-lifts.js';
import { bySpeed } from './speed-order.js';

export interface ResonanceSpeed {
  readonly speedKmh: number;
  /** Of the deck, in the free vibration that the train leaves in the mode, m/s²: how far the resonance stands above what is beside it. */
  readonly acceleration: number;
  /** By check, the share of its limit that the same vibration uses up: reactions and moments follow low modes, which accelerate the deck little. */
  readonly lifts: ReadonlyMap<string, number>;
}

/** A mode that meets the train at a speed. */
interface Line {
  readonly speedKmh: number;
  readonly acceleration: number;
  readonly mode: number;
  /** Of the mode's coordinate, m/s². */
  readonly coordinate: number;
}

/** Lines from this share of the strongest on are kept, however little they all do. */
const strong = 0.5;
/** Lines closer than this share of their speed are one, however little the deck is damped. */
const narrowest = 1e-3;
/** 1/m between wave numbers: a quarter of the width of a line in the spectrum of a train of 400 m. */
const resolution = 1 / 1600;
/** 1/m: rhythms of a third of a metre, which a wheel spreads over by itself. */
const highest = 3;

/**
 * Speeds at which the train's rhythm meets a natural frequency: those at which the free vibration that it leaves in a mode is largest, 2 pi k
 * |S(k)| |F(k)| times the largest ordinate of the deck. Here k = f / v is the wave number at which a speed v meets the frequency f, S the sum of P exp(-2 pi i a k)
 * over the axles, each faded by the damping until the last one has come, and F the transform of the mode along the loaded line (the transform of the modal force at its own
 * frequency; A. K. Chopra, Dynamics of Structures, appendix A (mem)). In a regular train they lie at v = f d / i, d the distance at which its axles repeat and
 * i = 1, 2, 3, ... (L. Frýba, Dynamics of Railway Bridges, 1996 (mem)). Lines closer than half of the resonance width are one: the sweep finds
 * the crest from a speed on its flank.
 *
 * @param negligible deck acceleration that decides nothing, m/s²; lines below it are left out unless they are among the strongest
 * @param modeLifts what the modes do to the checks
 */
export function resonanceSpeeds(
  dynamics: DynamicModel,
  train: MovingTrain,
  fromKmh: number,
  toKmh: number,
  negligible: number,
  modeLifts: ModeLifts = new Map(),
): ResonanceSpeed[] {
  const { angularFrequencies } = dynamics.modes;
  const { spectra, ordinates } = loadedModes(dynamics);
  const axles = new AxleSpectra(train);
  const lines: Line[] = [];
  for (const modes of spectra) {
    for (let mode = 0; mode < angularFrequencies.length; mode++) {
      const frequency = angularFrequencies[mode]! / (2 * Math.PI);
      const bin = (speedKmh: number) => (kmhPerMetrePerSecond * frequency) / speedKmh / modes.resolution;
      const first = Math.max(1, Math.floor(bin(toKmh)));
      const last = Math.min(modes.count - 2, Math.ceil(bin(fromKmh)));
      const rhythm = axles.at(dynamics.dampingRatios[mode]!, modes);
      const driven = modes.magnitudes[mode]!;
      const amplitude = (k: number) => k * rhythm[k]! * driven[k]!;
      const scale = 2 * Math.PI * modes.resolution;
      for (let k = first; k <= last; k++) {
        const [before, here, after] = [amplitude(k - 1), amplitude(k), amplitude(k + 1)];
        if (here === 0 || here < before || here < after) continue;
        const bend = before - 2 * here + after;
        const offset = bend < 0 ? (before - after) / (2 * bend) : 0;
        const speedKmh = (kmhPerMetrePerSecond * frequency) / ((k + offset) * modes.resolution);
        if (speedKmh < fromKmh || speedKmh > toKmh) continue;
        const coordinate = scale * (here - ((before - after) * offset) / 4);
        lines.push({ speedKmh, acceleration: ordinates[mode]! * coordinate, mode, coordinate });
      }
    }
  }
  lines.sort(strongestFirst);
  return distinct(lines, negligible, leastDampingRatio(dynamics), modeLifts).sort(bySpeed);
}

/** Those of the lines, the strongest first, that may matter and that no stronger one stands for; one that stands for others lifts what they lift. */
function distinct(
  lines: readonly Line[],
  negligible: number,
  dampingRatio: number,
  modeLifts: ModeLifts,
): ResonanceSpeed[] {
  const least = Math.min(negligible, strong * (lines[0]?.acceleration ?? 0));
  const width = Math.max(narrowest, dampingRatio);
  const kept: (ResonanceSpeed & { readonly lifts: Map<string, number> })[] = [];
  for (const { speedKmh, acceleration, mode, coordinate } of lines) {
    if (acceleration < least) break;
    let found = kept.filter((one) => Math.abs(one.speedKmh - speedKmh) < width * speedKmh);
    if (found.length === 0) {
      found = [{ speedKmh, acceleration, lifts: new Map() }];
      kept.push(...found);
    }
    for (const { lifts } of found)
      for (const [check, perMode] of modeLifts)
        lifts.set(check, Math.max(lifts.get(check) ?? 0, perMode[mode]! * coordinate));
  }
  return kept;
}

type Strength = Pick<ResonanceSpeed, 'speedKmh' | 'acceleration'>;

/** Order of falling acceleration. */
export const strongestFirst = (a: Strength, b: Strength): number =>
  b.acceleration - a.acceleration || a.speedKmh - b.speedKmh;

/** Of all modes. */
export function leastDampingRatio({ dampingRatios }: DynamicModel): number {
  let least = 1;
  for (let mode = 0; mode < dampingRatios.length; mode++) least = Math.min(least, dampingRatios[mode]!);
  return least;
}

/** What trains share. */
interface LoadedModes {
  /** Of each track. */
  readonly spectra: readonly ModeSpectra[];
  /** Largest ordinate of the deck in each mode. */
  readonly ordinates: Float64Array;
}

const known = new WeakMap<DynamicModel, LoadedModes>();

function loadedModes(dynamics: DynamicModel): LoadedModes {
  const loaded = known.get(dynamics) ?? {
    spectra: dynamics.tracks.map(({ line, modeLines }) =>
      modeSpectra(modeLines, line.step, resolution, highest),
    ),
    ordinates: ordinatesOf(dynamics),
  };
  known.set(dynamics, loaded);
  return loaded;
}

function ordinatesOf(dynamics: DynamicModel): Float64Array {
  const count = dynamics.modes.shapes.length;
  const ordinates = new Float64Array(count);
  for (const row of rowsOf(dynamics.rows, 'deck-acceleration'))
    for (let mode = 0; mode < count; mode++)
      ordinates[mode] = Math.max(ordinates[mode]!, Math.abs(dynamics.modalValues[row * count + mode]!));
  return ordinates;
}

/** Damping ratios are taken in steps of this, downwards. */
const dampingStep = 1e-3;

/** |sum of P exp(-2 pi i a k)| of the axles, each faded by what is damped until the last one is where it was, N. */
class AxleSpectra {
  private readonly found = new Map<string, Float64Array>();

  constructor(private readonly train: MovingTrain) {}

  /** At every wave number of the modes' spectra. */
  at(dampingRatio: number, { resolution, count }: ModeSpectra): Float64Array {
    const steps = Math.floor(dampingRatio / dampingStep + 1e-6);
    const key = `${steps} ${resolution} ${count}`;
    const spectrum = this.found.get(key) ?? this.spectrum(dampingStep * steps, resolution, count);
    this.found.set(key, spectrum);
    return spectrum;
  }

  private spectrum(dampingRatio: number, resolution: number, count: number): Float64Array {
    const { positions, loads } = this.train;
    const real = new Float64Array(count);
    const imaginary = new Float64Array(count);
    let last = 0;
    for (let axle = 0; axle < positions.length; axle++) last = Math.max(last, positions[axle]!);
    for (let axle = 0; axle < positions.length; axle++) {
      const angle = 2 * Math.PI * resolution;
      const fade = Math.exp(-dampingRatio * angle * (last - positions[axle]!));
      const [c, s] = [fade * Math.cos(angle * positions[axle]!), fade * Math.sin(angle * positions[axle]!)];
      let re = loads[axle]!;
      let im = 0;
      for (let k = 0; k < count; k++) {
        real[k]! += re;
        imaginary[k]! += im;
        const next = re * c - im * s;
        im = re * s + im * c;
        re = next;
      }
    }
    for (let k = 0; k < count; k++) real[k] = Math.hypot(real[k]!, imaginary[k]!);
    return real;
  }
}
