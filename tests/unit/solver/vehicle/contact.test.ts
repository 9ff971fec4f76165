import { describe, expect, it } from 'vitest';
import { buildConsist } from '../../../../solver/vehicle/build-consist.js';
import { CoupledRun } from '../../../../solver/vehicle/coupled-run.js';
import { car, coupledModel, startRun } from '../../../verification/models/vehicles.js';
import { slabTrack, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';

const consist = buildConsist([car]);

describe('a car on level ground', () => {
  it('keeps its static wheel loads', () => {
    const coupled = coupledModel(viaductOf(uniformSpans([20]), { track: slabTrack() }), consist);
    const run = startRun(coupled, 30, 2e-3, -20 / coupled.line.step);
    for (let k = 0; k < 200; k++) run.step();
    run.contactForces.forEach((force, wheel) => {
      expect(force / consist.wheels[wheel]!.load).toBeCloseTo(1, 9);
    });
  });
});

describe('a car over a bump too sharp to follow', () => {
  const bump = {
    levelAt: (x: number) => (x > -40 && x < -39 ? -0.01 * Math.sin(Math.PI * (x + 40)) : 0),
    everywhere: false,
    shortestWave: 2,
  };
  const coupled = coupledModel(viaductOf(uniformSpans([20])), consist, {}, bump, 100);
  const run = startRun(coupled, 50, 2e-4, -60 / coupled.line.step);
  let least = Number.POSITIVE_INFINITY;
  let most = 0;
  for (let k = 0; k < 4000; k++) {
    run.step();
    least = Math.min(least, run.contactForces[0]!);
    most = Math.max(most, run.contactForces[0]!);
  }

  it('lifts off, the rail never pulling on a wheel, and comes down hard', () => {
    expect(least).toBe(0);
    expect(most).toBeGreaterThan(2 * consist.wheels[0]!.load);
  });
});

describe('a car that creeps over rails that nothing holds', () => {
  const weight = consist.wheels.reduce((sum, { load }) => sum + load, 0);

  it.each([8, 26])('finds its wheel loads, which bear its weight, over %d m', (length) => {
    const losses = [{ layer: 'fastening', from: 10, to: 10 + length, fraction: 1 }] as const;
    const viaduct = viaductOf(uniformSpans([46]), { track: slabTrack({ losses }) });
    const coupled = coupledModel(viaduct, consist);
    const run = new CoupledRun(coupled, { speed: 1, timeStep: 0.075, quasiStatic: true });
    let iterations = 0;
    let departure = 0;
    while (run.positions[3]! <= coupled.line.count - 1) {
      run.step();
      iterations = Math.max(iterations, run.iterations);
      const borne = run.contactForces.reduce((sum, force) => sum + force, 0);
      departure = Math.max(departure, Math.abs(borne / weight - 1));
    }
    expect(iterations).toBeGreaterThan(60);
    // A body that sinks with the rail and rises again, though slowly, takes and gives some per cent.
    expect(departure).toBeLessThan(0.02);
  });
});
