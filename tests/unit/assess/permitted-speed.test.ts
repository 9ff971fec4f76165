import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type JudgedSpeed, permittedSpeed, wholeBands } from '../../../worker/assess/permitted-speed.js';

const safe = (...speeds: number[]): JudgedSpeed[] => speeds.map((speedKmh) => ({ speedKmh, safe: true }));
const unsafe = (...speeds: number[]): JudgedSpeed[] => speeds.map((speedKmh) => ({ speedKmh, safe: false }));

describe('the permitted speed', () => {
  it('is line speed when every run speed up to overspeed passes', () => {
    const decision = permittedSpeed(safe(0, 60, 120, 240), 200, 1.2, 5);
    expect(decision).toMatchObject({
      permittedKmh: 200,
      firstFailureKmh: null,
      limitedBySweep: false,
      blockedBands: [],
    });
  });

  it('keeps a line speed that is no multiple of the step', () => {
    expect(permittedSpeed(safe(0, 120, 243.6), 203, 1.2, 5).permittedKmh).toBe(203);
  });

  it('divides the last safe run speed by the overspeed factor and rounds down', () => {
    const decision = permittedSpeed([...safe(0, 100, 199), ...unsafe(200)], 250, 1.2, 5);
    expect(decision.permittedKmh).toBe(165);
    expect(decision.firstFailureKmh).toBe(200);
  });

  it('does not lose a step to round-off at an exact multiple', () => {
    expect(permittedSpeed([...safe(0, 192), ...unsafe(193)], 250, 1.2, 5).permittedKmh).toBe(160);
  });

  it('never recommends safe speeds above an unsafe band, but lists the band', () => {
    const decision = permittedSpeed([...safe(0, 100), ...unsafe(120, 130), ...safe(150, 300)], 250, 1.2, 5);
    expect(decision.permittedKmh).toBe(80);
    expect(decision.blockedBands).toEqual([[100, 150]]);
  });

  it('has bands in whole km/h that keep what fails, and do not overlap', () => {
    expect(
      wholeBands([
        [38.4, 45.3],
        [45.6, 190],
        [190, 191.5],
        [193, 200],
      ]),
    ).toEqual([
      [38, 192],
      [193, 200],
    ]);
    expect(
      wholeBands([
        [38.4, 45.3],
        [46.1, 50],
      ]),
    ).toEqual([[38, 50]]);
    expect(wholeBands([])).toEqual([]);
  });

  it('is none when the quasi-static passage already fails', () => {
    expect(permittedSpeed([...unsafe(0), ...safe(10, 20)], 100, 1.2, 5).permittedKmh).toBeNull();
  });

  it('is none when rounding down leaves nothing', () => {
    expect(permittedSpeed([...safe(0, 5), ...unsafe(6)], 100, 1.2, 5).permittedKmh).toBeNull();
  });

  it('is held by the end of a sweep that stops short of overspeed', () => {
    const decision = permittedSpeed(safe(0, 100, 180), 200, 1.2, 5);
    expect(decision).toMatchObject({ permittedKmh: 150, limitedBySweep: true });
  });

  it('times the overspeed factor never exceeds the last safe run speed', () => {
    const sweep = fc.array(
      fc.record({ speedKmh: fc.double({ min: 1, max: 400, noNaN: true }), safe: fc.boolean() }),
      {
        minLength: 1,
      },
    );
    fc.assert(
      fc.property(
        sweep,
        fc.double({ min: 1, max: 1.5, noNaN: true }),
        fc.integer({ min: 1, max: 20 }),
        (points, factor, step) => {
          const judged = [{ speedKmh: 0, safe: true }, ...points.sort((a, b) => a.speedKmh - b.speedKmh)];
          const { permittedKmh } = permittedSpeed(judged, 300, factor, step);
          const first = judged.findIndex((one) => !one.safe);
          const last = first === -1 ? judged[judged.length - 1]! : judged[first - 1]!;
          expect((permittedKmh ?? 0) * factor).toBeLessThanOrEqual(last.speedKmh * (1 + 1e-9));
        },
      ),
    );
  });

  it('never rises when one more speed turns out unsafe', () => {
    const speeds = fc.uniqueArray(fc.integer({ min: 1, max: 400 }), { minLength: 2, maxLength: 30 });
    fc.assert(
      fc.property(speeds, fc.nat(), (values, pick) => {
        const sorted = [0, ...values.sort((a, b) => a - b)];
        const before = permittedSpeed(safe(...sorted), 300, 1.2, 5).permittedKmh ?? 0;
        const index = pick % sorted.length;
        const judged = sorted.map((speedKmh, i) => ({ speedKmh, safe: i !== index }));
        expect(permittedSpeed(judged, 300, 1.2, 5).permittedKmh ?? 0).toBeLessThanOrEqual(before);
      }),
    );
  });
});
