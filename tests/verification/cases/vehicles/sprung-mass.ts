import { modeStride } from '../../../../solver/arithmetic/contact-modes.js';
import { writeShapes } from '../../../../solver/vehicle/line-under-wheel.js';
import { beamSketch } from '../../book/sketch.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { crossingPeaks } from '../../independent/sprung-mass-on-beam.js';
import { coupledModel, massOnSpring, startRun } from '../../models/vehicles.js';
import { uniformSpans, viaductOf } from '../../models/viaducts.js';

const length = 25;
const massPerLength = 2303;
const flexuralRigidity = 2.87e9 * 2.9;
const mass = 5750;
const stiffness = 1595e3;
const speed = 100 / 3.6;
const modes = 5;

/** The example that every later paper on sprung masses repeats. */
export const sprungMass: VerificationCase = {
  id: 'sprung-mass',
  title: 'Sprung mass over a simple beam',
  source:
    'Y. B. Yang, J. D. Yau and Y. S. Wu, Vehicle-Bridge Interaction Dynamics (2004), example of a simple beam under a sprung mass (mem), which gives about 2.4 mm at midspan; values here by a Runge-Kutta solution of the same equations (derived here)',
  statement: `Simple beam, ${length} m, ${massPerLength} kg/m, EI = 2.87 GPa x 2.90 m4, undamped; mass of ${mass} kg on a spring of 1595 kN/m at 100 km/h. Largest midspan deflection and largest acceleration of the mass during the crossing, against the coupled equations of ${modes} sine modes and the mass integrated by the classical fourth-order method.`,
  sketch: beamSketch({
    id: 'sprung-mass',
    description: 'A sprung mass on a simple beam',
    spans: [1],
    supports: ['rigid', 'rigid'],
    load: 'moving force',
  }),
  evaluate: () => {
    const first = (Math.PI / 2 / length ** 2) * Math.sqrt(flexuralRigidity / massPerLength);
    const coupled = coupledModel(
      viaductOf(uniformSpans([length], { massPerLength, flexuralRigidity })),
      massOnSpring(mass, stiffness),
      { highestFrequency: first * (modes ** 2 + 0.5) },
    );
    const { model, line } = coupled;
    const run = startRun(coupled, speed, 2e-4);
    const middle = new Float64Array(modeStride(modes));
    writeShapes(line, Math.round((line.count - 1) / 2), middle);
    let deflection = 0;
    let acceleration = 0;
    while (run.positions[0]! <= line.count - 1) {
      run.step();
      const under = run.coordinates.reduce((sum, q, mode) => sum + q * middle[mode]!, 0);
      deflection = Math.max(deflection, under);
      acceleration = Math.max(acceleration, Math.abs(run.components[0]!.acceleration[0]!));
    }
    const reference = crossingPeaks(
      { length, massPerLength, flexuralRigidity, modes, mass, stiffness, speed },
      20_000,
    );
    return {
      quantities: [
        {
          name: 'First frequency of the beam',
          unit: 'Hz',
          reference: 30.02 / (2 * Math.PI),
          computed: model.modes.angularFrequencies[0]! / (2 * Math.PI),
          tolerance: relative(1e-3),
          why: 'The source states 30.02 rad/s, four figures',
        },
        {
          name: 'Largest midspan deflection',
          unit: 'm',
          reference: reference.deflection,
          computed: deflection,
          tolerance: relative(2e-3),
          why: 'Time step of 0.2 ms; the contact also feels the static share of the higher modes, below 0.1 % of the spring',
        },
        {
          name: 'Largest acceleration of the mass',
          unit: 'm/s2',
          reference: reference.acceleration,
          computed: acceleration,
          tolerance: relative(5e-3),
          why: 'As above; linear interpolation of the mode line',
        },
      ],
    };
  },
};
