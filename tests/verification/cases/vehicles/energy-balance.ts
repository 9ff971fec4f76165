import { modeStride } from '../../../../solver/arithmetic/contact-modes.js';
import { buildConsist } from '../../../../solver/vehicle/build-consist.js';
import { writeShapes } from '../../../../solver/vehicle/line-under-wheel.js';
import { relative, type VerificationCase } from '../../book/verification-case.js';
import { car, coupledModel, startRun } from '../../models/vehicles.js';
import { uniformSpans, viaductOf } from '../../models/viaducts.js';

const length = 20;
const speed = 50;

/** Nothing is lost on the way between vehicle, contact and beam. */
export const energyBalance: VerificationCase = {
  id: 'energy-balance',
  title: 'Energy of the undamped coupled system',
  source:
    'Work and energy: a wheel driven at constant speed does work against the slope of the deflected beam (derived here)',
  statement: `An undamped car on soft contacts (1e8 N/m) at ${speed} m/s over an undamped simple beam of ${length} m. Kinetic and elastic energy of car, contact and modes, less the work of gravity, against the integral of minus contact force x speed x slope of the modal deflection under each wheel, when the last wheel has left.`,
  evaluate: () => {
    const consist = buildConsist([{ ...car, primaryDamping: 0, secondaryDamping: 0, contactStiffness: 1e8 }]);
    const coupled = coupledModel(
      viaductOf(uniformSpans([length], { massPerLength: 8000, flexuralRigidity: 2e10 })),
      consist,
      {
        lineStep: 0.01,
      },
    );
    const { model, line, system } = coupled;
    const timeStep = 2.5e-5;
    const run = startRun(coupled, speed, timeStep);
    const omega = model.modes.angularFrequencies;
    const here = new Float64Array(modeStride(omega.length));
    const beyond = new Float64Array(modeStride(omega.length));
    const residualAt = (place: number) =>
      place < 0 || place > line.count - 1 ? line.ground : line.residual[Math.round(place)]!;
    const stored = () => {
      let sum = 0;
      omega.forEach((w, j) => {
        sum += (run.velocities[j]! ** 2 + (w * run.coordinates[j]!) ** 2) / 2;
      });
      system.components.forEach(({ size, mass, stiffness, wheels, wheelFreedoms }, c) => {
        const { displacement: u, velocity: v } = run.components[c]!;
        for (let i = 0; i < size; i++) {
          sum += (mass[i]! * v[i]! ** 2) / 2;
          for (let j = 0; j < size; j++) sum += (stiffness[i * size + j]! * u[i]! * u[j]!) / 2;
        }
        wheels.forEach((wheel, k) => {
          const { load, stiffness: contact } = consist.wheels[wheel]!;
          const compliance = 1 / contact + residualAt(run.positions[wheel]!);
          sum += (run.contactForces[wheel]! ** 2 * compliance) / 2 - load * u[wheelFreedoms[k]!]!;
        });
      });
      return sum;
    };
    /** Power that the drive puts in, with the change of compliance along the line. */
    const power = () => {
      let sum = 0;
      run.positions.forEach((place, wheel) => {
        if (place < 0.5 || place > line.count - 1.5) return;
        const sample = Math.min(Math.floor(place), line.count - 2);
        const slopeOf = (at: number) => {
          let slope = (run.contactForces[wheel]! * (line.residual[at + 1]! - line.residual[at]!)) / 2;
          writeShapes(line, at, here);
          writeShapes(line, at + 1, beyond);
          omega.forEach((_, j) => {
            slope += run.coordinates[j]! * (beyond[j]! - here[j]!);
          });
          return slope / line.step;
        };
        sum -= run.contactForces[wheel]! * speed * slopeOf(sample);
      });
      return sum;
    };
    const before = stored();
    let work = 0;
    let most = 0;
    let was = power();
    const last = consist.wheels.length - 1;
    while (run.positions[last]! <= line.count) {
      run.step();
      const now = power();
      work += ((was + now) / 2) * timeStep;
      was = now;
      most = Math.max(most, Math.abs(work));
    }
    return {
      quantities: [
        {
          name: 'Energy gained beside work done, both over the largest work on the way',
          unit: '-',
          reference: 1 + work / most,
          computed: 1 + (stored() - before) / most,
          tolerance: relative(5e-3),
          why: 'Time step of 0.025 ms and a line of 10 mm steps; the method damps the wheels on their contact a little',
        },
        {
          name: 'Energy that the drive moves into car and beam',
          unit: 'J',
          reference: work,
          computed: stored() - before,
          tolerance: relative(0.03),
          why: 'As above, of the smaller difference that stays at the end',
        },
      ],
    };
  },
};
