import { Matrix, solve } from 'ml-matrix';
import { buildDeckEnds, type DeckEnd } from '../../../../solver/deck-ends/deck-end.js';
import { solveSeats } from '../../../../solver/deck-ends/seat-equilibrium.js';
import type { SeatLaw } from '../../../../solver/deck-ends/seat-law.js';
import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { wholeLine } from '../../../../solver/lines/line-samples.js';
import { beamSketch } from '../../book/sketch.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { assembleDense } from '../../independent/dense-frame.js';
import { directTrack, uniformSpans, viaductOf } from '../../models/viaducts.js';

const rail = { massPerLength: 120, flexuralRigidity: 12.76e6 };
const spacing = 0.65;
const stiffness = 80e6;
const seats = 31;
const groundSeats = 14;
const step = 1.5e-3;
const wheel = 100e3;
const clampingForce = 18e3;
const compressionStiffness = 160e6;
const rigid = { flexuralRigidity: 1e16 };

/** A seat whose pad is free, and a stiff pad under the wheel. */
export const releasedSeat: VerificationCase = {
  id: 'released-seat',
  title: 'Fastenings beyond their clamping at the end of the deck',
  source:
    'One seat: Winkler beam under a point load, H. Zimmermann, Die Berechnung des Eisenbahnoberbaues (1888) (mem). Many: rail on springs in the dense model of independent/dense-frame.ts, springs exchanged by hand until none is on the wrong piece; derived here',
  statement: `One seat of a long rail would be pulled up by 1 mm; its clips hold no more than 40 % of that pull. A load on the rail over its seat presses it down by g = 1 / (2 k L) per newton, so that the seat opens by (1 mm - g T) / (1 - g K), K its stiffness, T the clamping. Then the end of a deck that has gone down by ${1e3 * step} mm, seats 0.65 m apart, clamped with ${clampingForce / 1e3} kN, pads twice as stiff under pressure, a wheel of ${wheel / 1e3} kN over the last seat on the ground.`,
  sketch: beamSketch({
    id: 'released-seat',
    description: 'Rails running from a deck that has gone down onto the ground',
    spans: [1],
    supports: ['rigid', 'rigid'],
    load: 'none',
    track: 'rail',
  }),
  evaluate: () => {
    const one = singleSeat();
    const ours = deckEnd();
    const reference = bySprings(ours.end);
    const worst = ours.stretch.indexOf(Math.min(...ours.stretch));
    const most = ours.force.indexOf(Math.max(...ours.force));
    const why = 'The same beams and springs, the approach of 14 seats there and 13 here: round-off and e^-10';
    return {
      quantities: [
        {
          name: 'One seat: opening',
          unit: 'm',
          reference: one.reference,
          computed: one.computed,
          tolerance: relative(5e-3),
          why: 'Seats 0.1 m apart instead of a continuum: of order (a / L)^4 = 2e-4, times 1 / (1 - g K)',
        },
        {
          name: 'Deck end: rail above the first seat on the deck',
          unit: 'm',
          reference: -reference.stretch[worst]!,
          computed: -ours.stretch[worst]!,
          tolerance: relative(1e-6),
          why,
        },
        {
          name: 'Deck end: pull that the clips hold',
          unit: 'N',
          reference: clampingForce,
          computed: -ours.force[worst]!,
          tolerance: relative(1e-9),
          why: 'By definition of the law',
        },
        {
          name: 'Deck end: largest force on a seat',
          unit: 'N',
          reference: reference.force[most]!,
          computed: ours.force[most]!,
          tolerance: relative(1e-6),
          why,
        },
        {
          name: 'Deck end: seats that the rail has left',
          unit: '-',
          reference: reference.released,
          computed: ours.force.filter((force) => force <= -clampingForce).length,
          tolerance: relative(1e-12),
          why: 'A count',
        },
      ],
    };
  },
};

function endOf(
  spacingOfSeats: number,
  kind: number,
  moved: number,
): { model: ReturnType<typeof buildDynamicModel>; end: DeckEnd } {
  const clamping = { force: clampingForce, compressionStiffness };
  const track = directTrack({
    rail,
    fastening: { spacing: spacingOfSeats, stiffness: kind, damping: 0, clamping },
  });
  const length = spacingOfSeats * (spacingOfSeats === spacing ? seats : 121);
  const model = buildDynamicModel(viaductOf(uniformSpans([length], rigid), { track }), { lineStep: 0.025 });
  return {
    model,
    end: buildDeckEnds(model, track, (x, side) => (x > 0 || side === 'right' ? moved : 0))[0]!,
  };
}

function singleSeat() {
  const perLength = stiffness / spacing;
  const kind = perLength * 0.1;
  const { end } = endOf(0.1, kind, 0);
  const compliance = 1 / (2 * perLength * ((4 * rail.flexuralRigidity) / perLength) ** 0.25);
  const raised = 1e-3;
  const law: SeatLaw = { stiffness: kind, compressionStiffness: kind, clampingForce: 0.4 * kind * raised };
  const seat = end.seats.findIndex(({ x }) => x > -1);
  const own = end.compliance[seat * end.seats.length + seat]!;
  const found = solveSeats(Float64Array.of(-raised), Float64Array.of(own), [law]);
  return {
    reference: (raised - compliance * law.clampingForce) / (1 - compliance * kind),
    computed: -found.stretch[0]!,
  };
}

function deckEnd() {
  const { model, end } = endOf(spacing, stiffness, step);
  const sample = Math.round((-spacing / 2 - model.line.from) / model.line.step);
  const linear = Float64Array.from(
    end.seatLines,
    (line, s) => wheel * wholeLine(line, model.line.count)[sample]! + end.seatsMoved[s]!,
  );
  const { stretch, force } = solveSeats(
    linear,
    end.compliance,
    end.seats.map(({ law }) => law),
  );
  return { end, stretch: Array.from(stretch), force: Array.from(force) };
}

/** All seats, on springs that are exchanged: twice as stiff where pressed, the clamping force where pulled beyond it. */
function bySprings(end: DeckEnd) {
  const x = Array.from({ length: seats + 2 * groundSeats }, (_, k) => (k - groundSeats + 0.5) * spacing);
  const base = x.map((at) => (at > 0 && at < seats * spacing ? step : 0));
  const near = x.map((at) => end.seats.some((seat) => Math.abs(seat.x - at) < 1e-6));
  const rails = x.slice(1).map((_, k) => ({ from: k, to: k + 1, length: spacing, ...rail }));
  let state = x.map(() => 'linear');
  for (let round = 0; ; round++) {
    const springOf = (k: number) =>
      state[k] === 'released' ? 0 : state[k] === 'pressed' ? compressionStiffness : stiffness;
    const { stiffness: matrix, rowOf } = assembleDense({
      nodes: x.length,
      elements: rails,
      springs: x.map((_, k) => ({ upper: 2 * k, lower: null, stiffness: springOf(k) })),
      held: [],
    });
    const load = Matrix.zeros(matrix.rows, 1);
    x.forEach((at, k) => {
      const wheelHere = Math.abs(at + spacing / 2) < 1e-6 ? wheel : 0;
      const clips = state[k] === 'released' ? clampingForce : 0;
      load.set(rowOf[2 * k]!, 0, springOf(k) * base[k]! + clips + wheelHere);
    });
    const u = solve(matrix, load);
    const stretch = x.map((_, k) => u.get(rowOf[2 * k]!, 0) - base[k]!);
    const next = stretch.map((e, k) =>
      !near[k] ? 'linear' : e >= 0 ? 'pressed' : stiffness * e < -clampingForce ? 'released' : 'linear',
    );
    if (round > 50) throw new Error('the exchange of springs goes round in circles');
    if (next.every((one, k) => one === state[k])) {
      const kept = x.flatMap((_, k) => (near[k] ? [k] : []));
      return {
        stretch: kept.map((k) => stretch[k]!),
        force: kept.map((k) => (state[k] === 'released' ? -clampingForce : springOf(k) * stretch[k]!)),
        released: state.filter((one) => one === 'released').length,
      };
    }
    state = next;
  }
}
