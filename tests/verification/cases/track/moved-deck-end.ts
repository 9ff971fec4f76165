import { buildDeckEnds, type DeckEnd } from '../../../../solver/deck-ends/deck-end.js';
import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import type { DeckMovement } from '../../../../solver/held-track/held-track.js';
import { beamSketch } from '../../book/sketch.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { directTrack, uniformSpans, viaductOf } from '../../models/viaducts.js';

const spacing = 0.1;
const perLength = 80e6 / 0.65;
const rail = { massPerLength: 120, flexuralRigidity: 12.76e6 };
const characteristic = ((4 * rail.flexuralRigidity) / perLength) ** 0.25;
const span = 12.1;
const step = 2e-3;
const kink = 2e-3;
const clamping = { force: 1e9, compressionStiffness: perLength * spacing };

/** What a step and a kink of the deck at its end do to seats and rail. */
export const movedDeckEnd: VerificationCase = {
  id: 'moved-deck-end',
  title: 'Step and kink at the end of the deck: pull on the seats and bending of the rail',
  source:
    'M. Hetenyi, Beams on Elastic Foundation (1946), semi-infinite beam (mem): both sides of the step are antisymmetric, both sides of the kink symmetric; put together here',
  statement: `Rails (EI = 12.76e6 N m2) on fastenings of k = 80e6 / 0.65 N/m per metre, ${spacing} m apart to come near the continuum. The ground behind the end of the deck stays; the deck goes down by h = ${1e3 * step} mm as a whole, or turns down from its end by ${1e3 * kink} mrad. With L = (4 EI / k)^(1/4) and s = x / L the stretch is -(h / 2) exp(-s) cos s and the bending (EI h / L^2) exp(-s) sin s, largest at s = pi / 4; for the kink (t L / 4) exp(-s) (cos s - sin s) and EI t / (2 L) at the end.`,
  sketch: beamSketch({
    id: 'moved-deck-end',
    description: 'Rails running from a deck onto the ground',
    spans: [1],
    supports: ['rigid', 'rigid'],
    load: 'none',
    track: 'rail',
  }),
  evaluate: () => {
    const stepped = endUnder((x, side) => (x > 0 || side === 'right' ? step : 0));
    const kinked = endUnder((x) => kink * x);
    const { flexuralRigidity } = rail;
    const on = (end: DeckEnd, distance: number) => {
      const nearest = end.seats.reduce(
        (best, { x }, s) => (Math.abs(x - distance) < Math.abs(end.seats[best]!.x - distance) ? s : best),
        0,
      );
      return { x: end.seats[nearest]!.x, stretch: end.seatsMoved[nearest]! };
    };
    const first = on(stepped, 0.05);
    const far = on(stepped, 0.65);
    const turned = on(kinked, 0.05);
    const why = `Seats ${spacing} m apart instead of a continuum: of order (a / L)^2 = 1.5e-2 beside the end, where the first stands half a spacing off`;
    const stepAt = (x: number) => (-step / 2) * Math.exp(-x / characteristic) * Math.cos(x / characteristic);
    const kinkAt = (x: number) =>
      ((kink * characteristic) / 4) *
      Math.exp(-x / characteristic) *
      (Math.cos(x / characteristic) - Math.sin(x / characteristic));
    const steepest = (stepMoment: number) => (flexuralRigidity * step * stepMoment) / characteristic ** 2;
    return {
      quantities: [
        {
          name: `Step: stretch of the seat ${first.x.toFixed(2)} m behind the end`,
          unit: 'm',
          reference: stepAt(first.x),
          computed: first.stretch,
          tolerance: relative(5e-3),
          why,
        },
        {
          name: `Step: stretch of the seat ${far.x.toFixed(2)} m behind the end`,
          unit: 'm',
          reference: stepAt(far.x),
          computed: far.stretch,
          tolerance: relative(5e-3),
          why,
        },
        {
          name: 'Step: largest bending of the rail',
          unit: 'N m',
          reference: steepest(Math.exp(-Math.PI / 4) * Math.SQRT1_2),
          computed: mostBending(stepped),
          tolerance: relative(5e-3),
          why,
        },
        {
          name: `Kink: stretch of the seat ${turned.x.toFixed(2)} m behind the end`,
          unit: 'm',
          reference: kinkAt(turned.x),
          computed: turned.stretch,
          tolerance: relative(5e-3),
          why,
        },
        {
          name: 'Kink: bending of the rail at the end',
          unit: 'N m',
          reference: (flexuralRigidity * kink) / (2 * characteristic),
          computed: mostBending(kinked),
          tolerance: relative(5e-3),
          why,
        },
      ],
    };
  },
};

function endUnder(moved: DeckMovement): DeckEnd {
  const track = directTrack({
    rail,
    fastening: { spacing, stiffness: perLength * spacing, damping: 0, clamping },
  });
  const model = buildDynamicModel(viaductOf(uniformSpans([span]), { track }), { lineStep: 0.1 });
  // The far end does not matter here; it stands still so that one kink is looked at.
  return buildDeckEnds(model, track, moved)[0]!;
}

function mostBending({ railMoved }: DeckEnd): number {
  return railMoved.reduce((most, moment) => Math.max(most, Math.abs(moment)), 0);
}
