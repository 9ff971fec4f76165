import fc from 'fast-check';
import { expect, it } from 'vitest';
import { translateScenario } from '../../../scenarios/translate.js';
import { quasiStaticPeaks, runPassage } from '../../../solver/passage/passage.js';
import { buildTrainTables } from '../../../solver/passage/train-tables.js';
import { isAcceleration } from '../../../solver/rows/response-rows.js';
import { buildCaseState } from '../../../worker/assess/case-state.js';
import { arbitraryScenario, withoutTrack } from './arbitrary-scenario.js';
import { fuzz, fuzzTimeout, valid } from './assess.js';

/** m/s: slow enough that the deck is at rest all the time. */
const crawl = 0.7;

/**
 * On rigid supports: an axle that comes onto a bare deck over an elastic end support is a force applied at once, and what it sets
 * swinging is not less for coming slowly.
 */
const small = arbitraryScenario
  .filter(({ deck, trains }) => deck.spans.length <= 2 && trains[0]!.axles !== undefined)
  .map(withoutTrack)
  .map((bare) => ({
    ...bare,
    supports: bare.supports.map(({ id, joint = false }) => ({ id, joint })),
    damage_cases: [],
  }));

it('as the speed goes to 0 a passage becomes the static one', { timeout: fuzzTimeout }, () => {
  fc.assert(
    fc.property(small, (file) => {
      const model = translateScenario(valid(file).scenario);
      const state = buildCaseState(model, model.damageCases[0]!);
      const entry = model.trains[0]!;
      if (entry.kind !== 'moving' || state.mechanism) return;
      const dynamics = state.variants[0]!.dynamics();
      const tables = buildTrainTables(dynamics, entry.train, 'forward');
      const still = quasiStaticPeaks(dynamics, tables);
      const slow = runPassage(dynamics, tables, crawl);
      for (const quantity of new Set(dynamics.rows.map((row) => row.quantity))) {
        if (isAcceleration(quantity)) continue;
        const rows = dynamics.rows.flatMap((row, r) => (row.quantity === quantity ? [r] : []));
        const most = (peaks: typeof still) =>
          rows.reduce((peak, r) => Math.max(peak, peaks.largest[r]!, -peaks.smallest[r]!), 0);
        // Design: 0.5 % at v -> 0; what is left of the dynamic increment at this speed comes on top.
        expect(Math.abs(most(slow) - most(still)), quantity).toBeLessThanOrEqual(0.015 * most(still));
      }
    }),
    fuzz(0.1),
  );
});
