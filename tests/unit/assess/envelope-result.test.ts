import { describe, expect, it } from 'vitest';
import { assess, slabTrack, smallScenario, trainOf } from './assess-scenario.js';

const rigid = (count: number) => Array.from({ length: count + 1 }, (_, index) => ({ id: `S${index}` }));

describe('the envelope along the deck', () => {
  it.each([
    ['without track', {}],
    ['with track', { track: slabTrack }],
  ])('of a span %s is above 0 wherever the deck is not held', (_, track) => {
    const train = trainOf(assess(smallScenario(1, { supports: rigid(1), ...track })), 'intact');
    const envelope = train.envelope!;
    const { x_m: x, deck_acceleration_m_per_s2: acceleration, deck_deflection_max_mm: down } = envelope;
    expect(x[0]).toBe(0);
    expect(x.at(-1)).toBe(30);
    expect(x.length).toBeGreaterThan(20);
    expect(x).toEqual([...x].sort((a, b) => a - b));
    for (const series of [acceleration, down, envelope.bending_max_kNm]) {
      expect(series).toHaveLength(x.length);
      expect(Math.min(...series.slice(1, -1))).toBeGreaterThan(0);
    }
    for (const series of [acceleration, down]) expect([series[0], series.at(-1)]).toEqual([0, 0]);
    expect(Math.max(...down)).toBeCloseTo(Math.max(...train.sweep.deck_deflection_mm!), 6);
  });

  it('of a deck on elastic supports is above 0 there as well', () => {
    const { deck_deflection_max_mm: down } = trainOf(assess(smallScenario(2)), 'intact').envelope!;
    expect(Math.min(...down)).toBeGreaterThan(0);
  });
});
