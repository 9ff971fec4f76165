import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { beamSketch } from '../../book/sketch.js';
import { absolute, relative, type VerificationCase } from '../../book/verification-case.js';
import {
  assembleDense,
  type Frame,
  type FrameElement,
  freedomsOf,
  hermite,
} from '../../independent/dense-frame.js';
import { integrateNewmark } from '../../independent/newmark.js';
import { peaksOf } from '../../models/peaks-of.js';
import { rowAt, rowsOf } from '../../models/rows.js';
import { concreteDeck, directTrack, trainOf, uniformSpans, viaductOf } from '../../models/viaducts.js';

const spacing = 0.65;
const seats = 31;
const length = seats * spacing;
const approachSeats = 12;
const fastening = 80e6;
const dashpot = 60e3;
const rail = { massPerLength: 120, flexuralRigidity: 12.76e6 };
const positions = [0, 3, 14];
const load = 180e3;
const speed = 60;
const timeStep = 1e-3;

/** Rail, fastenings and deck in one dense model, integrated directly. */
export const newmarkTrack: VerificationCase = {
  id: 'newmark-track',
  title: 'Direct integration of the full model: rail, fastenings and deck',
  source:
    'N. M. Newmark, Journal of the Engineering Mechanics Division 85(3), 1959, constant mean acceleration; dense finite element model of its own in independent/dense-frame.ts',
  statement: `Simple span of ${length} m with rails on fastenings of 80e6 N/m at ${spacing} m, running on over ${approachSeats} rigid seats beyond either end; with dashpots of 60e3 N s/m; three axles of 180 kN at ${speed} m/s, deck undamped. The reference integrates all freedoms of deck and rail with steps of 1 ms and the dashpots where they stand; the solver keeps the diagonal of their modal matrix. Forces are those of the springs.`,
  sketch: beamSketch({
    id: 'newmark-track',
    description: 'Rails fastened to a simple span and running on over the ends',
    spans: [1],
    supports: ['rigid', 'rigid'],
    load: 'train',
    track: 'rail',
  }),
  evaluate: () => {
    const viaduct = viaductOf(uniformSpans([length]), {
      track: directTrack({ rail, fastening: { spacing, stiffness: fastening, damping: dashpot } }),
    });
    const model = buildDynamicModel(viaduct, { highestFrequency: 60 });
    const peaks = peaksOf(model, trainOf(positions, load), speed);
    const deflection = rowAt(model, 'deck-deflection', length / 2);
    // Only seats near supports and beside stations have rows; the one nearest to midspan is compared.
    const seat = rowsOf(model, 'fastening-force').reduce((best, row) =>
      Math.abs(model.rows[row]!.x - length / 2) < Math.abs(model.rows[best]!.x - length / 2) ? row : best,
    );
    const seatIndex = Math.round(model.rows[seat]!.x / spacing - 0.5);
    const reference = integrateReference(seatIndex);
    const why =
      'Eight samples in a period of the highest mode here, 1 ms there; statics in place of the dynamics of modes above 60 Hz; coupling of modes by the dashpots left out';
    const inner =
      'Rail inertia and the rhythm of the seats (92 Hz) belong to modes above the 60 Hz kept, of which only the static part remains: a tenth of the small pull ahead of and behind the wheels, half a per cent of the largest force';
    const pair = (name: string, unit: string, found: Extremes, row: number) => [
      {
        name: `Largest ${name}`,
        unit,
        reference: found.largest,
        computed: peaks.largest[row]!,
        tolerance: relative(1e-2),
        why,
      },
      {
        name: `Largest ${name}, upwards`,
        unit,
        reference: found.smallest,
        computed: peaks.smallest[row]!,
        tolerance: absolute(1e-2 * found.largest),
        why: `1 % of the largest downwards. ${inner}`,
      },
    ];
    return {
      quantities: [
        ...pair('deflection of the deck at midspan', 'm', reference.deflection, deflection),
        ...pair('force of the fastening nearest to midspan', 'N', reference.seat, seat),
      ],
      chart: {
        title: 'Force of the fastening nearest to midspan by direct integration',
        description: 'The lines across mark the peaks of the modal solution; pull is negative',
        xLabel: 'time, s',
        yLabel: 'force on a pair of seats, kN',
        series: [
          { label: 'direct integration', x: reference.times, y: reference.curve, role: 'primary' },
          ...[peaks.largest[seat]!, peaks.smallest[seat]!].map((value) => ({
            label: 'peaks of the modal solution',
            x: [0, reference.times[reference.times.length - 1]!],
            y: [value / 1e3, value / 1e3],
            role: 'secondary' as const,
          })),
        ],
      },
    };
  },
};

interface Extremes {
  largest: number;
  smallest: number;
}

function integrateReference(seat: number) {
  // Rail nodes at every seat and both ends of the approaches; deck nodes at the supports and under every seat.
  const railX = Array.from(
    { length: seats + 2 * approachSeats },
    (_, k) => (k - approachSeats + 0.5) * spacing,
  );
  const deckX = [0, ...railX.slice(approachSeats, approachSeats + seats), length];
  const deckElements: FrameElement[] = deckX.slice(1).map((x, k) => ({
    from: k,
    to: k + 1,
    length: x - deckX[k]!,
    ...concreteDeck,
  }));
  const firstRail = deckX.length;
  const railElements: FrameElement[] = railX.slice(1).map((_, k) => ({
    from: firstRail + k,
    to: firstRail + k + 1,
    length: spacing,
    ...rail,
  }));
  const frame: Frame = {
    nodes: deckX.length + railX.length,
    elements: [...deckElements, ...railElements],
    springs: railX.map((_, k) => {
      const onDeck = k >= approachSeats && k < approachSeats + seats;
      return {
        upper: 2 * (firstRail + k),
        lower: onDeck ? 2 * (k - approachSeats + 1) : null,
        stiffness: fastening,
      };
    }),
    held: [0, 2 * (deckX.length - 1)],
  };
  const system = assembleDense(frame);
  const { rowOf } = system;
  const dashpots = assembleDense({
    ...frame,
    elements: [],
    springs: frame.springs.map((one) => ({ ...one, stiffness: dashpot })),
  }).stiffness;
  const start = railX[0]!;
  const end = railX[railX.length - 1]!;
  const applied = (t: number, f: Float64Array) => {
    for (const behind of positions) {
      const x = start + speed * t - behind;
      if (x < start || x >= end) continue;
      const index = Math.min(railElements.length - 1, Math.floor((x - start) / spacing));
      const element = railElements[index]!;
      hermite(spacing, x - railX[index]!).forEach((shape, k) => {
        f[rowOf[freedomsOf(element)[k]!]!]! += load * shape;
      });
    }
  };
  const middleRow = rowOf[2 * ((seats - 1) / 2 + 1)]!;
  const deckRow = rowOf[2 * (seat + 1)]!;
  const railRow = rowOf[2 * (firstRail + approachSeats + seat)]!;
  const found = { deflection: { largest: 0, smallest: 0 }, seat: { largest: 0, smallest: 0 } };
  const record = (entry: Extremes, value: number) => {
    entry.largest = Math.max(entry.largest, value);
    entry.smallest = Math.min(entry.smallest, value);
  };
  const times: number[] = [];
  const curve: number[] = [];
  const duration = (end - start + positions[positions.length - 1]!) / speed + 1;
  integrateNewmark(system, dashpots, timeStep, Math.ceil(duration / timeStep), applied, (step, u) => {
    const force = fastening * (u[railRow]! - u[deckRow]!);
    record(found.deflection, u[middleRow]!);
    record(found.seat, force);
    if (step % 2 === 0) {
      times.push(step * timeStep);
      curve.push(force / 1e3);
    }
  });
  return { ...found, times, curve };
}
