import { describe, expect, it } from 'vitest';
import { levelDefect } from '../../../worker/assess/level-defect.js';

const x = Float64Array.from({ length: 201 }, (_, i) => i / 2);
const level = new Float64Array(x.length);

const sunk = (depthAt: (x: number) => number, beyondDeck = 0) => ({ depthAt, beyondDeck });

describe('a defect of longitudinal level', () => {
  it('is how far a short stretch of track has sunk below the track beside it', () => {
    const defect = levelDefect(
      x,
      [level],
      sunk((at) => (at > 50 && at < 58 ? 0.012 : 0)),
    );
    expect(defect.departure).toBeCloseTo(0.012, 9);
    expect(defect.at).toBeGreaterThan(50);
    expect(defect.at).toBeLessThan(58);
  });

  it('sees a dip narrower than the points of the deck are apart', () => {
    const dip = (at: number) => Math.max(0, 0.01 - 0.05 * Math.abs(at - 50.25));
    expect(levelDefect(x, [level], sunk(dip)).departure).toBeCloseTo(0.01, 9);
  });

  it('is seen before and beyond the deck as far as the track has sunk there', () => {
    for (const place of [-70, 170]) {
      const defect = levelDefect(
        x,
        [level],
        sunk((at) => (Math.abs(at - place) < 4 ? 0.02 : 0), 80),
      );
      expect(defect.departure).toBeCloseTo(0.02, 9);
      expect(Math.abs(defect.at - place)).toBeLessThan(4);
    }
  });

  it('adds the sunk track to the moved deck and takes the worst track', () => {
    const bent = x.map((at) => 0.004 * Math.sin((Math.PI * at) / 10) ** 2);
    const one = levelDefect(x, [bent]).departure;
    expect(
      levelDefect(
        x,
        [level, bent],
        sunk((at) => (at === 55 ? 0.003 : 0)),
      ).departure,
    ).toBeGreaterThan(one);
    expect(levelDefect(x, [level, bent]).departure).toBe(one);
  });

  it('is the same seen from the other end of the deck', () => {
    // A span of 27.39 m in equal parts, which no chord is a multiple of, gone down at one end and sagging.
    const parts = 55;
    const along = Float64Array.from({ length: parts + 1 }, (_, i) => (27.39 * i) / parts);
    const sagged = along.map((at) => 0.01 * (1 - at / 27.39) + 0.005 * Math.sin((Math.PI * at) / 27.39));
    const turned = sagged.slice().reverse();
    const [here, there] = [levelDefect(along, [sagged]), levelDefect(along, [turned])];
    expect(there.departure / here.departure).toBeCloseTo(1, 9);
    expect(there.at).toBeCloseTo(27.39 - here.at, 9);
  });
});
