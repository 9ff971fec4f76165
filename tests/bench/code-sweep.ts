import { hslmA, hslmATrains } from '../../scenarios/library/hslm-a.js';
import type { HslmAId } from '../../scenarios/library/load-model-ids.js';
import { buildDynamicModel, type DynamicModel } from '../../solver/dynamic-model/dynamic-model.js';
import { runPassage } from '../../solver/passage/passage.js';
import { buildTrainTables } from '../../solver/passage/train-tables.js';
import { type Objective, ObjectiveIndex } from '../../solver/peaks/objective.js';
import type { MovingTrain, Viaduct } from '../../solver/viaduct/model.js';
import { plainPassage } from '../reference/plain-passage.js';
import type { Workload } from './workload.js';

/** 3 x 40 m continuous deck on rigid supports, 18 t/m, first frequency 3.0 Hz, damping 1 %, no track. */
const firstFrequency = 3;
const length = 40;
const massPerLength = 18_000;
// The first mode of equal continuous spans is that of one simple span: f = pi / (2 L^2) sqrt(EI / m).
const flexuralRigidity = massPerLength * ((2 * length * length * firstFrequency) / Math.PI) ** 2;

const viaduct: Viaduct = {
  spans: Array.from({ length: 3 }, () => ({
    segments: [{ length, massPerLength, flexuralRigidity, shearRigidity: null }],
  })),
  supports: ['A', 'B', 'C', 'D'].map((id) => ({
    id,
    stiffness: Number.POSITIVE_INFINITY,
    settlement: 0,
    joint: false,
    bearing: true,
    upliftResistance: 0,
  })),
  track: null,
  dampingRatio: 0.01,
};

const trains = Object.keys(hslmATrains) as HslmAId[];
const speeds = Array.from({ length: 153 }, (_, index) => 40 + 2.5 * index);
/** Few enough for the plain path, spread over the range. */
const fewTrains = trains.filter((_, index) => index % 5 === 0);
const fewSpeeds = speeds.filter((_, index) => index % 38 === 0);

/** All HSLM-A trains from 40 to 420 km/h, every peak at 31 points, forward direction, one thread. */
export const codeSweep: Workload = {
  id: 'W1',
  title:
    'code sweep: HSLM-A1..A10 at 153 speeds over 3 x 40 m, every peak of acceleration, deflection and moment at 31 points',
  run: () => sweep(trains, speeds),
};

/** A part of W1, for the ratio to the plain path over the same part. */
export const codeSweepPart: Workload = {
  id: 'W1-part',
  title: 'a part of W1',
  run: () => sweep(fewTrains, fewSpeeds),
};

/** The same part by the plain textbook path: all axles, modes and points at every step, as many steps per period. */
export const codeSweepPlain: Workload = {
  id: 'W1-plain',
  title: 'the same part of W1 by the plain path',
  run() {
    const whole = buildDynamicModel(viaduct);
    const chosen = [...new Set(peaksWanted(whole).map(({ rows }) => rows[0]!))];
    const model = rowsOnly(whole, chosen);
    const modes = model.modes.shapes.length;
    const rows = model.rows.length;
    let steps = 0;
    for (const id of fewTrains) {
      for (const speed of fewSpeeds) {
        const options = { samplesPerPeriod: 8, longestMove: 0.25, freeVibration: 1 };
        steps += plainPassage(model, trainOf(id), 'forward', speed / 3.6, options).steps;
      }
    }
    return {
      passages: fewTrains.length * fewSpeeds.length,
      modes,
      rows,
      modeSteps: steps * modes,
      pointSteps: steps * rows,
    };
  },
};

/** The model with some of its rows, for the plain path, which works through all it is given. */
function rowsOnly(model: DynamicModel, chosen: readonly number[]): DynamicModel {
  const count = model.modes.shapes.length;
  return {
    ...model,
    rows: chosen.map((row) => model.rows[row]!),
    influenceLines: chosen.map((row) => model.influenceLines[row]!),
    modalValues: Float64Array.from(
      chosen.flatMap((row) => [...model.modalValues.subarray(row * count, (row + 1) * count)]),
    ),
  };
}

/** Largest and smallest acceleration, deflection and moment at each of 31 points, every one of them wanted. */
function peaksWanted(model: DynamicModel): Objective[] {
  const points = Array.from({ length: 31 }, (_, index) => (index / 30) * 3 * length);
  return (['deck-acceleration', 'deck-deflection', 'bending'] as const).flatMap((quantity) => {
    const rows = model.rows.flatMap((row, index) => (row.quantity === quantity ? [index] : []));
    const nearest = points.map((x) =>
      rows.reduce((best, row) =>
        Math.abs(model.rows[row]!.x - x) < Math.abs(model.rows[best]!.x - x) ? row : best,
      ),
    );
    return [...new Set(nearest)].flatMap((row) =>
      [1, -1].map((weight) => ({
        rows: Int32Array.of(row),
        weights: Float64Array.of(weight),
        offsets: Float64Array.of(0),
      })),
    );
  });
}

function sweep(trainIds: readonly HslmAId[], kmh: readonly number[]) {
  const model = buildDynamicModel(viaduct);
  const modes = model.modes.shapes.length;
  const objectives = new ObjectiveIndex(peaksWanted(model), model.rows.length);
  let modeSteps = 0;
  for (const id of trainIds) {
    const tables = buildTrainTables(model, trainOf(id), 'forward');
    for (const speed of kmh)
      modeSteps += modes * runPassage(model, tables, speed / 3.6, { objectives }).steps;
  }
  return { passages: trainIds.length * kmh.length, modes, peaks: objectives.objectives.length, modeSteps };
}

function trainOf(id: HslmAId): MovingTrain {
  const { positions, loads } = hslmA(id);
  return {
    id,
    class: 'passenger',
    positions: Float64Array.from(positions),
    loads: Float64Array.from(loads),
  };
}
