import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { wholeLine } from '../../../../solver/lines/line-samples.js';
import { buildLoadedLine, sampleAlongLine } from '../../../../solver/lines/loaded-line.js';
import { BandedFactorisation } from '../../../../solver/matrices/banded-factorisation.js';
import { assembleSystem } from '../../../../solver/mesh/assembly.js';
import { buildMesh } from '../../../../solver/mesh/mesh.js';
import type { Viaduct } from '../../../../solver/viaduct/model.js';
import { beamSketch } from '../../book/sketch.js';
import { absolute, relative, type VerificationCase } from '../../book/verification-case.js';
import { rowsOf } from '../../models/rows.js';
import { directTrack, slabTrack, uniformSpans, viaductOf } from '../../models/viaducts.js';

const wheel = 100e3;
const spacing = 0.1;
const perLength = 80e6 / 0.65;
const rail = { massPerLength: 120, flexuralRigidity: 12.76e6 };
const slab = { massPerLength: 1600, flexuralRigidity: 2.3e8, panelLength: null };
const bedding = { stiffnessPerLength: 6e7, dampingPerLength: 0 };
const characteristic = ((4 * rail.flexuralRigidity) / perLength) ** 0.25;
const rigid = { flexuralRigidity: 1e16 };
/** 81 seats: an odd number, so that one stands at midspan. */
const span = 8.1;
const fastening = { spacing, stiffness: perLength * spacing, damping: 0 };

/** Rail under a wheel, for a deck that does not bend. */
export const winklerRail: VerificationCase = {
  id: 'winkler-rail',
  title: 'Beam on elastic foundation under a wheel: rail deflection and seat forces',
  source:
    'E. Winkler, Die Lehre von der Elasticitaet und Festigkeit (1867); H. Zimmermann, Die Berechnung des Eisenbahnoberbaues (1888) (mem); two layers by the Fourier integral of the coupled equations, derived here',
  statement: `Rails (EI = 12.76e6 N m2) on fastenings of k = 80e6 / 0.65 N/m per metre, spaced ${spacing} m to come near the continuum, on a rigid deck, one wheel of 100 kN. With L = (4 EI / k)^(1/4): deflection P / (2 k L), seat force P a / (2 L) f(x / L), f = exp(-s) (cos s + sin s), pull exp(-pi) of it at s = pi. On slab (EI = 2.3e8 N m2) and bedding (6e7 N/m per metre): w(0) = (P / pi) integral of the transform of the two coupled beams.`,
  sketch: beamSketch({
    id: 'winkler-rail',
    description: 'A wheel on a rail on closely spaced springs',
    spans: [1],
    supports: ['rigid', 'rigid'],
    load: 'moving force',
    track: 'rail',
  }),
  evaluate: () => {
    const deflection = wheel / (2 * perLength * characteristic);
    const single = viaductOf(uniformSpans([span], rigid), { track: directTrack({ rail, fastening }) });
    const double = viaductOf(uniformSpans([span], rigid), {
      track: slabTrack({ rail, fastening, slab, bedding }),
    });
    const model = buildDynamicModel(single, { lineStep: spacing / 2 });
    const forceUnder = (distance: number) => seatForce(model, distance);
    const seatAt = (s: number) =>
      ((wheel * spacing) / (2 * characteristic)) * Math.exp(-s) * (Math.cos(s) + Math.sin(s));
    const near = forceUnder(0);
    const uplift = forceUnder(Math.PI * characteristic);
    const far = forceUnder(1.2);
    const why = `Springs ${spacing} m apart instead of a continuum: of order (a / L)^4 = 2e-4, and 1 % of the slope where a seat is half a sample off`;
    const distances = Array.from({ length: 61 }, (_, k) => k * spacing);
    return {
      quantities: [
        {
          name: 'Rail deflection under the wheel',
          unit: 'm',
          reference: deflection,
          computed: railDeflection(single),
          tolerance: relative(2e-3),
          why,
        },
        {
          name: 'Force of the seat under the wheel',
          unit: 'N',
          reference: seatAt(near.distance / characteristic),
          computed: near.force,
          tolerance: relative(5e-3),
          why,
        },
        {
          name: `Force of the seat ${far.distance.toFixed(3)} m from the wheel`,
          unit: 'N',
          reference: seatAt(far.distance / characteristic),
          computed: far.force,
          tolerance: relative(1e-2),
          why,
        },
        {
          name: 'Largest pull as a share of the force under the wheel',
          unit: '-',
          reference: -Math.exp(-Math.PI),
          computed: uplift.force / seatAt(0),
          tolerance: absolute(1e-3),
          why: 'A thousandth of the force under the wheel',
        },
        {
          name: 'Rail deflection under the wheel, slab on bedding',
          unit: 'm',
          reference: twoLayerDeflection(),
          computed: railDeflection(double),
          tolerance: relative(2e-3),
          why: 'Springs 0.1 m apart instead of a continuum; the deck of 8.1 m and its approaches stand for an infinite track',
        },
      ],
      chart: {
        title: 'Seat forces beside the wheel',
        description: 'Compression under the wheel, pull beyond 2.4 m',
        xLabel: 'distance from the wheel, m',
        yLabel: 'force on a pair of seats, kN',
        series: [
          {
            label: 'computed',
            x: distances.slice(0, 35),
            y: distances.slice(0, 35).map((distance) => forceUnder(distance).force / 1e3),
            role: 'primary',
          },
          {
            label: 'Zimmermann',
            x: distances.slice(0, 35),
            y: distances.slice(0, 35).map((distance) => seatAt(distance / characteristic) / 1e3),
            role: 'secondary',
          },
        ],
      },
    };
  },
};

/** Force of the seat nearest to midspan under a wheel at about a distance from it. */
function seatForce(model: ReturnType<typeof buildDynamicModel>, wanted: number) {
  const rows = rowsOf(model, 'fastening-force');
  const row = rows.reduce((best, one) =>
    Math.abs(model.rows[one]!.x - span / 2) < Math.abs(model.rows[best]!.x - span / 2) ? one : best,
  );
  const { line } = model;
  const seat = model.rows[row]!.x;
  const sample = Math.round((seat + wanted - line.from) / line.step);
  return {
    distance: Math.abs(line.from + sample * line.step - seat),
    force: wheel * wholeLine(model.influenceLines[row]!, model.line.count)[sample]!,
  };
}

/** Deflection of the rail under a wheel on the seat nearest to midspan. */
function railDeflection(viaduct: Viaduct): number {
  const mesh = buildMesh(viaduct, { highestFrequency: 30 });
  const { stiffness } = assembleSystem(mesh);
  const line = buildLoadedLine(mesh, spacing / 2);
  const sample = Math.round((span / 2 - line.from) / line.step);
  const displacement = new Float64Array(mesh.size);
  for (let j = 4 * sample; j < 4 * sample + 4; j++)
    displacement[line.freedoms[j]!]! += wheel * line.weights[j]!;
  new BandedFactorisation(stiffness).solve(displacement);
  return sampleAlongLine(line, displacement)[sample]!;
}

/** (P / pi) times the integral over wave numbers of the receptance of rail on slab on bedding; trapezoidal rule. */
function twoLayerDeflection(): number {
  const receptance = (s: number) => {
    const upper = rail.flexuralRigidity * s ** 4 + perLength;
    const lower = slab.flexuralRigidity * s ** 4 + perLength + bedding.stiffnessPerLength;
    return lower / (upper * lower - perLength ** 2);
  };
  const step = 1e-3;
  let sum = receptance(0) / 2;
  for (let k = 1; k <= 60_000; k++) sum += receptance(k * step);
  return (wheel / Math.PI) * sum * step;
}
