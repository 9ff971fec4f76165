import { describe, expect, it } from 'vitest';
import { coefficientsPerMode, recurrenceCoefficients } from '../../../../solver/arithmetic/recurrence.js';

/** One step of g = w^2 q and u = w q' with the force sampled at -h, 0, h and 2 h. */
function advance(w: number, zeta: number, h: number, g: number, u: number, force: (t: number) => number) {
  const a = new Float64Array(coefficientsPerMode);
  recurrenceCoefficients(w, zeta, h, a, 0);
  const p = [-h, 0, h, 2 * h].map(force);
  const row = (from: number) =>
    a[from]! * g + a[from + 1]! * u + p.reduce((sum, value, k) => sum + a[from + 2 + k]! * value, 0);
  return { g: row(0), u: row(6) };
}

describe.each([0, 0.01, 0.3])('recurrence at damping ratio %d', (zeta) => {
  const w = 23;

  it.each([0.002, 0.03, 0.2])('is exact for free vibration, whatever the step (%d s)', (h) => {
    const damped = w * Math.sqrt(1 - zeta * zeta);
    const decay = Math.exp(-zeta * w * h);
    const q = decay * (Math.cos(damped * h) + ((zeta * w) / damped) * Math.sin(damped * h));
    const v = (-decay * w * w * Math.sin(damped * h)) / damped;
    const { g, u } = advance(w, zeta, h, w * w, 0, () => 0);
    expect(g / (w * w)).toBeCloseTo(q, 12);
    expect(u / w / w).toBeCloseTo(v / w, 12);
  });

  it.each([0.002, 0.03, 0.2])('is exact for a force that is cubic in time (%d s)', (h) => {
    // q = c0 + c1 t + c2 t^2 + c3 t^3 with p = q'' + 2 zeta w q' + w^2 q, which is cubic as well.
    const [c0, c1, c2, c3] = [1, -3, 20, 40] as const;
    const q = (t: number) => c0 + c1 * t + c2 * t * t + c3 * t ** 3;
    const v = (t: number) => c1 + 2 * c2 * t + 3 * c3 * t * t;
    const force = (t: number) => 2 * c2 + 6 * c3 * t + 2 * zeta * w * v(t) + w * w * q(t);
    const { g, u } = advance(w, zeta, h, w * w * q(0), w * v(0), force);
    expect(g / (w * w)).toBeCloseTo(q(h), 9);
    expect(u / w).toBeCloseTo(v(h), 8);
  });
});
