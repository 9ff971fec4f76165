import { describe, expect, it } from 'vitest';
import { solveDeadLoad } from '../../../../solver/statics/dead-load.js';
import { releaseLiftedBearings } from '../../../../solver/statics/lift-off.js';
import { gravity } from '../../../../solver/viaduct/gravity.js';
import { slabTrack, uniformSpans, viaductOf } from '../../../verification/models/viaducts.js';
import { structures } from '../structures.js';

describe.each(structures)('dead load of $name', ({ viaduct }) => {
  it('is carried by the supports, all of it', () => {
    const track = (viaduct.track?.rail.massPerLength ?? 0) + (viaduct.track?.slab?.massPerLength ?? 0);
    const tracks = viaduct.tracks?.length ?? 1;
    const weight = viaduct.spans
      .flatMap(({ segments }) => segments)
      .reduce(
        (sum, { length, massPerLength }) => sum + length * (massPerLength + track * tracks) * gravity,
        0,
      );
    const carried = solveDeadLoad(viaduct).reactions.reduce((sum, value) => sum + value, 0);
    expect(carried / weight).toBeCloseTo(1, 9);
  });
});

describe('dead load', () => {
  it('of rail and slab weighs on the deck but their stiffness does not help', () => {
    const bare = solveDeadLoad(viaductOf(uniformSpans([20], { massPerLength: 15_000 + 1720 })));
    const tracked = solveDeadLoad(viaductOf(uniformSpans([20]), { track: slabTrack() }));
    expect(tracked.deflectionAt(10, 'left') / bare.deflectionAt(10, 'left')).toBeCloseTo(1, 12);
  });

  it('moves a simple span rigidly as a support settles', () => {
    const state = solveDeadLoad(
      viaductOf(uniformSpans([20]), { supportChanges: { 1: { settlement: 0.04 } } }),
    );
    const level = solveDeadLoad(viaductOf(uniformSpans([20])));
    expect(state.deflectionAt(5, 'left') - level.deflectionAt(5, 'left')).toBeCloseTo(0.01, 10);
    expect(state.bendingAt(10) / level.bendingAt(10)).toBeCloseTo(1, 9);
  });

  it('settles an elastic support by its head', () => {
    const state = solveDeadLoad(
      viaductOf(uniformSpans([20]), { supportChanges: { 1: { stiffness: 1e9, settlement: 0.04 } } }),
    );
    expect(state.deflectionAt(20, 'left')).toBeCloseTo(0.04 + (10 * 15_000 * gravity) / 1e9, 9);
  });
});

describe('bearings that push only', () => {
  // Spans of 8 and 40 m: the short one is lifted off its end bearing by the long one.
  const lengths = [8, 40];
  const q = 15_000 * gravity;

  it('lift off where dead load pulls, and what is left is the beam with an overhang', () => {
    const viaduct = viaductOf(uniformSpans(lengths));
    expect(solveDeadLoad(viaduct).reactions[0]!).toBeLessThan(0);
    const released = releaseLiftedBearings(viaduct);
    expect(released.lifted).toEqual([{ support: 'S0', end: 'only', side: 'only' }]);
    expect(released.state!.bendingAt(8) / ((-q * 64) / 2)).toBeCloseTo(1, 8);
    expect(released.state!.reactions[2]! / ((q * 40) / 2 - (q * 32) / 40)).toBeCloseTo(1, 8);
    expect(released.state!.deflectionAt(0, 'right')).toBeLessThan(0);
  });

  it('stay where the support can take the pull', () => {
    const pull = -solveDeadLoad(viaductOf(uniformSpans(lengths))).reactions[0]!;
    const held = (upliftResistance: number) =>
      releaseLiftedBearings(
        viaductOf(uniformSpans(lengths), { supportChanges: { 0: { upliftResistance } } }),
      );
    expect(held(pull * 1.001).lifted).toEqual([]);
    expect(held(pull * 0.999).lifted).toHaveLength(1);
  });

  it('lose a pier that sinks away, no more and no less', () => {
    const sunk = viaductOf(uniformSpans([25, 25]), { supportChanges: { 1: { settlement: 0.5 } } });
    const released = releaseLiftedBearings(sunk);
    expect(released.lifted).toEqual([{ support: 'S1', end: 'only', side: 'only' }]);
    const whole = solveDeadLoad(viaductOf(uniformSpans([50])));
    expect(released.state!.deflectionAt(25, 'left') / whole.deflectionAt(25, 'left')).toBeCloseTo(1, 8);
  });

  it('close again a gap that another release closes', () => {
    const { state, lifted } = releaseLiftedBearings(viaductOf(uniformSpans([10, 9, 40, 9, 10])));
    const open = lifted.map(({ support }) => support);
    const at = [0, 10, 19, 59, 68, 78];
    state!.reactions.forEach((reaction, index) => {
      const gap = -state!.deflectionAt(at[index]!, index === 0 ? 'right' : 'left');
      if (open.includes(`S${index}`)) expect(gap).toBeGreaterThanOrEqual(-1e-9);
      else expect(reaction).toBeGreaterThanOrEqual(-1e-3);
    });
    expect(open.length).toBeGreaterThan(0);
  });

  it('are given up, without statics, where their lifting does not settle', () => {
    const released = releaseLiftedBearings(viaductOf(uniformSpans(lengths)), 1);
    expect(released).toMatchObject({ mechanism: null, state: null });
    expect(released.lifted.map(({ support }) => support)).toEqual(['S0']);
  });

  it('leave a mechanism where nothing holds the deck any more', () => {
    const seesaw = viaductOf(uniformSpans([8, 40]), { supportChanges: { 2: { bearing: false } } });
    const released = releaseLiftedBearings(seesaw);
    expect(released.state).toBeNull();
    expect(released.mechanism?.spans).toEqual([0, 1]);
  });
});
