import { Matrix } from 'ml-matrix';
import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { beamSketch } from '../../book/sketch.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import {
  assembleDense,
  denseModes,
  freedomsOf,
  hermite,
  stiffnessOf,
} from '../../independent/dense-frame.js';
import { integrateNewmark } from '../../independent/newmark.js';
import { peaksOf } from '../../models/peaks-of.js';
import { rowAt } from '../../models/rows.js';
import { concreteDeck, trainOf, uniformSpans, viaductOf } from '../../models/viaducts.js';

const lengths = [25, 32, 25];
const perSpan = 16;
const pierStiffness = 2e9;
const dampingRatio = 0.01;
const positions = [0, 2.5, 16.5, 19, 24.2, 26.7];
const loads = [200e3, 200e3, 190e3, 190e3, 170e3, 170e3];
const speed = 65;
const highestFrequency = 60;
const timeStep = 5e-4;

/** No modes, no influence lines: the full equations of motion step by step. */
export const newmarkBareDeck: VerificationCase = {
  id: 'newmark-bare-deck',
  title: 'Direct integration of the full model: continuous deck',
  source:
    'N. M. Newmark, Journal of the Engineering Mechanics Division 85(3), 1959, constant mean acceleration; dense finite element model of its own in independent/dense-frame.ts',
  statement: `Spans of 25, 32 and 25 m, one pier elastic (2e9 N/m), damping 1 % in every mode, six axles at ${speed} m/s. The reference integrates all ${2 * (3 * perSpan + 1) - 3} freedoms with steps of 0.5 ms; accelerations are those in its modes below ${highestFrequency} Hz, to which the solver is set.`,
  sketch: beamSketch({
    id: 'newmark-bare-deck',
    description: 'Train on three continuous spans',
    spans: lengths,
    supports: ['rigid', 'spring', 'rigid', 'rigid'],
    load: 'train',
  }),
  evaluate: () => {
    const reference = integrateReference();
    const model = buildDynamicModel(
      viaductOf(uniformSpans(lengths), { dampingRatio, supportChanges: { 1: { stiffness: pierStiffness } } }),
      { highestFrequency },
    );
    const peaks = peaksOf(model, trainOf(positions, loads), speed);
    const deflection = rowAt(model, 'deck-deflection', 41);
    const acceleration = rowAt(model, 'deck-acceleration', 41);
    const integration =
      'Eight samples in a period of the highest mode here, 0.5 ms there; statics in place of the dynamics of modes above 60 Hz';
    const pair = (
      name: string,
      unit: string,
      referenceValue: number,
      computed: number,
      share: number,
      why = integration,
    ) => ({ name, unit, reference: referenceValue, computed, tolerance: relative(share), why });
    return {
      quantities: [
        pair(
          'Largest deflection, middle of the second span',
          'm',
          reference.deflection.largest,
          peaks.largest[deflection]!,
          5e-3,
        ),
        pair(
          'Largest upward deflection there',
          'm',
          reference.deflection.smallest,
          peaks.smallest[deflection]!,
          1e-2,
        ),
        pair(
          'Largest hogging moment over the elastic pier',
          'Nm',
          reference.hogging.smallest,
          peaks.smallest[rowAt(model, 'bending', 25)]!,
          1e-2,
        ),
        pair(
          'Largest reaction of the elastic pier',
          'N',
          reference.reaction.largest,
          peaks.largest[rowAt(model, 'support-reaction', 25)]!,
          1e-2,
        ),
        pair(
          'Largest uplift of the elastic pier',
          'N',
          reference.reaction.smallest,
          peaks.smallest[rowAt(model, 'support-reaction', 25)]!,
          1e-2,
        ),
        pair(
          'Largest acceleration, middle of the second span',
          'm/s2',
          Math.max(reference.acceleration.largest, -reference.acceleration.smallest),
          Math.max(peaks.largest[acceleration]!, -peaks.smallest[acceleration]!),
          2e-2,
          'Eight samples in a period of the highest mode: a parabola through the crest of a sine sampled so errs by up to 1 %, the linear force over a step by 2 % of that mode',
        ),
      ],
      chart: {
        title: 'Deflection at the middle of the second span by direct integration',
        description: 'The lines across mark the peaks of the modal solution',
        xLabel: 'time, s',
        yLabel: 'deflection, mm',
        yDownwards: true,
        series: [
          { label: 'direct integration', x: reference.times, y: reference.curve, role: 'primary' },
          ...[peaks.largest[deflection]!, peaks.smallest[deflection]!].map((value) => ({
            label: 'peaks of the modal solution',
            x: [0, reference.times[reference.times.length - 1]!],
            y: [1e3 * value, 1e3 * value],
            role: 'secondary' as const,
          })),
        ],
      },
    };
  },
};

function integrateReference() {
  const elements = lengths.flatMap((length, span) =>
    Array.from({ length: perSpan }, (_, k) => ({
      from: span * perSpan + k,
      to: span * perSpan + k + 1,
      length: length / perSpan,
      ...concreteDeck,
    })),
  );
  const nodeX = [0];
  for (const { length } of elements) nodeX.push(nodeX[nodeX.length - 1]! + length);
  const pier = 2 * perSpan;
  const frame = {
    nodes: nodeX.length,
    elements,
    springs: [{ upper: pier, lower: null, stiffness: pierStiffness }],
    held: [0, 4 * perSpan, 6 * perSpan],
  };
  const system = assembleDense(frame);
  const { rowOf } = system;
  const modes = denseModes(system);
  // C = M P diag(2 zeta w) P^T M: the same ratio in every mode.
  const scaled = system.mass.mmul(modes.shapes);
  const rates = Matrix.diag(modes.frequencies.map((f) => 2 * dampingRatio * 2 * Math.PI * f));
  const damping = scaled.mmul(rates).mmul(scaled.transpose());
  // Acceleration at the middle of the second span in the modes below the limit: row vector e^T P P^T M.
  const middle = rowOf[2 * (perSpan + perSpan / 2)]!;
  const low = modes.frequencies.filter((f) => f <= highestFrequency).length;
  const filter = new Float64Array(system.mass.rows);
  for (let mode = 0; mode < low; mode++)
    for (let i = 0; i < filter.length; i++)
      filter[i]! += modes.shapes.get(middle, mode) * scaled.get(i, mode);

  const load = (t: number, f: Float64Array) => {
    positions.forEach((behind, axle) => {
      const x = speed * t - behind;
      if (x < 0 || x > nodeX[nodeX.length - 1]!) return;
      const index = Math.min(elements.length - 1, nodeX.findIndex((node) => node > x) - 1);
      if (index < 0) return;
      const element = elements[index]!;
      hermite(element.length, x - nodeX[index]!).forEach((shape, k) => {
        const row = rowOf[freedomsOf(element)[k]!]!;
        if (row >= 0) f[row]! += loads[axle]! * shape;
      });
    });
  };
  const duration = (82 + 26.7) / speed + 10 / modes.frequencies[0]!;
  const before = elements[perSpan - 1]!;
  const beforeStiffness = stiffnessOf(before);
  const beforeRows = freedomsOf(before).map((freedom) => rowOf[freedom]!);
  const track = () => ({ largest: 0, smallest: 0 });
  const found = { deflection: track(), acceleration: track(), reaction: track(), hogging: track() };
  const record = (entry: { largest: number; smallest: number }, value: number) => {
    entry.largest = Math.max(entry.largest, value);
    entry.smallest = Math.min(entry.smallest, value);
  };
  const times: number[] = [];
  const curve: number[] = [];
  const massRow = inertiaMoment(before);
  integrateNewmark(system, damping, timeStep, Math.ceil(duration / timeStep), load, (step, u, a) => {
    record(found.deflection, u[middle]!);
    let filtered = 0;
    for (let i = 0; i < filter.length; i++) filtered += filter[i]! * a[i]!;
    record(found.acceleration, filtered);
    record(found.reaction, pierStiffness * u[rowOf[pier]!]!);
    // Nodal moment at the end of the element before the pier: stiffness, inertia and the consistent load on the element.
    let moment = 0;
    beforeRows.forEach((row, k) => {
      if (row >= 0) moment += beforeStiffness.get(3, k) * u[row]! + massRow[k]! * a[row]!;
    });
    positions.forEach((behind, axle) => {
      const distance = speed * step * timeStep - behind - nodeX[perSpan - 1]!;
      if (distance > 0 && distance < before.length)
        moment -= loads[axle]! * hermite(before.length, distance)[3]!;
    });
    record(found.hogging, -moment);
    if (step % 8 === 0) {
      times.push(step * timeStep);
      curve.push(1e3 * u[middle]!);
    }
  });
  return { ...found, times, curve };
}

function inertiaMoment({ length: l, massPerLength: m }: { length: number; massPerLength: number }): number[] {
  return [-13 * l, -3 * l * l, -22 * l, 4 * l * l].map((value) => (value * m * l) / 420);
}
