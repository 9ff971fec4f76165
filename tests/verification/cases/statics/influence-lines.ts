import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { wholeLine } from '../../../../solver/lines/line-samples.js';
import { beamSketch } from '../../book/sketch.js';
import { absolute, relative, type VerificationCase } from '../../book/verification-case.js';
import { rowAt, rowsOf } from '../../models/rows.js';
import { concreteDeck, slabTrack, uniformSpans, viaductOf } from '../../models/viaducts.js';

const length = 30;

/** Reciprocity, and textbook ordinates. */
export const influenceLinesCase: VerificationCase = {
  id: 'influence-lines',
  title: 'Influence lines: Maxwell reciprocity and two equal spans',
  source:
    'J. C. Maxwell, Philosophical Magazine 27, 1864; ordinates of two equal spans: S. Timoshenko and D. H. Young, Theory of Structures (1945), chapter on continuous beams (mem)',
  statement: `Two spans of ${length} m, EI = 1.1e11 N m2. Deflection at A under a unit force at B equals that at B under one at A, over all pairs of stations. A force at x in the first span: moment over the middle support -x (L^2 - x^2) / (4 L^2), reaction there x (3 L^2 - x^2) / (2 L^3). With slab track on top the force stands on the rail; the reactions of deck and ground still add up to the force at mid-deck.`,
  sketch: beamSketch({
    id: 'influence-lines',
    description: 'A unit force on two equal spans',
    spans: [1, 1],
    supports: ['rigid', 'rigid', 'rigid'],
    load: 'moving force',
  }),
  evaluate: () => {
    const viaduct = viaductOf(uniformSpans([length, length]));
    const model = buildDynamicModel(viaduct, { highestFrequency: 10 });
    const { line } = model;
    const sampleOf = (x: number) => Math.round((x - line.from) / line.step);
    const lineOf = (row: number) => wholeLine(model.influenceLines[row]!, model.line.count);
    const rows = rowsOf(model, 'deck-deflection');
    let difference = 0;
    let largest = 0;
    for (const a of rows) {
      for (const b of rows) {
        const ab = lineOf(a)[sampleOf(model.rows[b]!.x)]!;
        const ba = lineOf(b)[sampleOf(model.rows[a]!.x)]!;
        difference = Math.max(difference, Math.abs(ab - ba));
        largest = Math.max(largest, Math.abs(ab));
      }
    }
    const moment = lineOf(rowAt(model, 'bending', length));
    const reaction = lineOf(rowAt(model, 'support-reaction', length));
    const onTrack = buildDynamicModel({ ...viaduct, track: slabTrack() }, { highestFrequency: 10 });
    const total = rowsOf(onTrack, 'support-reaction').reduce(
      (sum, row) =>
        sum +
        wholeLine(onTrack.influenceLines[row]!, onTrack.line.count)[
          Math.round((length / 2 - onTrack.line.from) / onTrack.line.step)
        ]!,
      0,
    );
    const x = Array.from({ length: line.count }, (_, k) => line.from + k * line.step);
    const momentAt = (at: number) => {
      const mirrored = Math.max(0, at > length ? 2 * length - at : at);
      return (-mirrored * (length ** 2 - mirrored ** 2)) / (4 * length ** 2);
    };
    return {
      quantities: [
        {
          name: 'Largest difference between the two deflections as a share of the largest',
          unit: '-',
          reference: 0,
          computed: difference / largest,
          tolerance: absolute(1e-8),
          why: 'A symmetric factorisation; only round-off is left',
        },
        {
          name: 'Largest deflection under its own force, middle of a span',
          unit: 'm/N',
          reference: (23 * length ** 3) / (1536 * concreteDeck.flexuralRigidity),
          computed: lineOf(rowAt(model, 'deck-deflection', length / 2))[sampleOf(length / 2)]!,
          tolerance: relative(1e-7),
          why: 'Exact at nodes but for round-off',
        },
        ...[0.25, 0.577, 0.8].flatMap((share) => {
          const sample = sampleOf(share * length);
          const at = line.from + sample * line.step;
          return [
            {
              name: `Moment over the middle support, force at ${at.toFixed(2)} m`,
              unit: 'm',
              reference: momentAt(at),
              computed: moment[sample]!,
              tolerance: relative(1e-6),
              why: 'Cubic shapes are exact between the nodes of an unloaded element; only round-off is left',
            },
            {
              name: `Reaction of the middle support, force at ${at.toFixed(2)} m`,
              unit: '-',
              reference: (at * (3 * length ** 2 - at ** 2)) / (2 * length ** 3),
              computed: reaction[sample]!,
              tolerance: relative(1e-6),
              why: 'Cubic shapes are exact between the nodes of an unloaded element; only round-off is left',
            },
          ];
        }),
        {
          name: 'Sum of the support reactions, force on the rail at the middle of the first span',
          unit: '-',
          reference: 1,
          computed: total,
          tolerance: relative(2.2e-3),
          why: 'Slab and rail run on to the ground and carry, at most, their share of the bending stiffness of the section, 2.2e-3',
        },
      ],
      chart: {
        title: 'Influence line of the moment over the middle support',
        description: 'Computed and closed form lie on each other',
        xLabel: 'position of the unit force, m',
        yLabel: 'moment, m',
        yDownwards: true,
        series: [
          { label: 'computed', x, y: Array.from(moment), role: 'primary' },
          { label: 'closed form', x, y: x.map(momentAt), role: 'secondary' },
        ],
      },
    };
  },
};
