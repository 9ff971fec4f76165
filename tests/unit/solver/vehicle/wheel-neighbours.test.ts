import { describe, expect, it } from 'vitest';
import { buildDynamicModel } from '../../../../solver/dynamic-model/dynamic-model.js';
import { sampleAlongLine } from '../../../../solver/lines/loaded-line.js';
import { BandedFactorisation } from '../../../../solver/matrices/banded-factorisation.js';
import { assembleSystem } from '../../../../solver/mesh/assembly.js';
import { buildConsist } from '../../../../solver/vehicle/build-consist.js';
import { CoupledRun } from '../../../../solver/vehicle/coupled-run.js';
import { lineCompliance } from '../../../../solver/vehicle/line-compliance.js';
import { lineModes } from '../../../../solver/vehicle/line-modes.js';
import { buildRunningLine } from '../../../../solver/vehicle/running-line.js';
import { buildVehicleSystem } from '../../../../solver/vehicle/vehicle-system.js';
import { wheelPairs } from '../../../../solver/vehicle/wheel-pairs.js';
import { car } from '../../../verification/models/vehicles.js';
import { slabTrack, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';

const consist = buildConsist([{ ...car, bogieWheelbase: 1.8 }]);
// More elements: between its nodes the rail of a direct solution has no loads of its own.
const model = buildDynamicModel(
  viaductOf(uniformSpans([26.65]), {
    track: slabTrack({
      // Keeps slab modes above 30 Hz, all of them.
      bedding: { stiffnessPerLength: 1e8, dampingPerLength: 0 },
      losses: [
        { layer: 'fastening', from: 5, to: 9, fraction: 0.9 },
        { layer: 'fastening', from: 17.65, to: 21.65, fraction: 0.9 },
      ],
    }),
  }),
  { refinement: 6 },
);
const factorisation = new BandedFactorisation(assembleSystem(model.mesh).stiffness);

/** Deflection of the rail under every wheel, by one solution of the whole structure under all of their forces. */
function deflections(places: readonly number[], forces: readonly number[]): number[] {
  const { line, mesh } = model;
  const displacement = new Float64Array(mesh.size);
  places.forEach((x, wheel) => {
    const at = (x - line.from) / line.step;
    const index = Math.floor(at);
    for (const [sample, share] of [
      [index, 1 - at + index],
      [index + 1, at - index],
    ] as const)
      for (let k = line.shapes * sample; k < line.shapes * (sample + 1); k++)
        if (line.freedoms[k]! >= 0)
          displacement[line.freedoms[k]!]! += share * forces[wheel]! * line.weights[k]!;
  });
  factorisation.solve(displacement);
  const along = sampleAlongLine(line, displacement);
  return places.map((x) => {
    const at = (x - line.from) / line.step;
    const index = Math.floor(at);
    return along[index]! + (along[index + 1]! - along[index]!) * (at - index);
  });
}

/** How far the rail has gone down under every wheel of a creeping car whose leading wheel is at a place, and should have. */
function sunkAt(direction: 'forward' | 'reverse', leading: number) {
  const modes = lineModes(model);
  const compliance = lineCompliance(model, modes, consist);
  const line = buildRunningLine(model, modes, compliance, direction, null, 0);
  const coupled = { model, line, consist, system: buildVehicleSystem(consist) };
  const run = new CoupledRun(coupled, { speed: 1, timeStep: line.step, quasiStatic: true });
  while (
    direction === 'forward' ? line.xAt(run.positions[0]!) < leading : line.xAt(run.positions[0]!) > leading
  )
    run.step();
  const places = Array.from(run.positions, (position) => line.xAt(position));
  const forces = Array.from(run.contactForces);
  const { component, displacement } = run.components[0]!;
  // The car's own displacements count from rest on the ground, where only the wheels of a bogie are near each other.
  const atRest = compliance.ground + compliance.between[0]!.ground;
  const found = consist.wheels.map(
    ({ load, stiffness }, wheel) =>
      displacement[component.wheelFreedoms[wheel]!]! - (forces[wheel]! - load) / stiffness + load * atRest,
  );
  return { found, expected: deflections(places, forces) };
}

describe('wheels of a bogie on a stretch that gives way', () => {
  it.each([
    ['forward', 7.9],
    ['reverse', 18.75],
  ] as const)('sink where the other one presses as well, %s', (direction, leading) => {
    const { found, expected } = sunkAt(direction, leading);
    for (const wheel of [0, 1]) {
      // A third of it is the other wheel's; what wheels further off do beyond the modes is left out.
      expect(expected[wheel]).toBeGreaterThan(4e-3);
      expect(Math.abs(found[wheel]! / expected[wheel]! - 1)).toBeLessThan(1e-2);
    }
  });

  it('are told from those too far away', () => {
    const { distances, pairs } = wheelPairs(buildConsist([car, car]));
    // 2.5 m within a bogie, 25 - 17.5 - 2.5 = 5 m between the last wheel of a car and the first of the next.
    expect(distances.map((distance) => distance.toFixed(6))).toEqual(['2.500000', '5.000000']);
    expect(pairs).toEqual([
      { leading: 0, trailing: 1, apart: 0 },
      { leading: 2, trailing: 3, apart: 0 },
      { leading: 3, trailing: 4, apart: 1 },
      { leading: 4, trailing: 5, apart: 0 },
      { leading: 6, trailing: 7, apart: 0 },
    ]);
  });
});
