import { availableParallelism } from 'node:os';
import { expect, it } from 'vitest';
import { loadRegressionSet, regressionFolder } from '../../../worker/regression/regression-set.js';
import { runRegression } from '../../../worker/regression/run-regression.js';

it('every regression scenario agrees with its accepted baseline', { timeout: 300_000 }, async () => {
  const set = await loadRegressionSet(regressionFolder(), '');
  const { outcomes } = await runRegression(set, { threads: Math.min(2, availableParallelism()) });
  const bad = outcomes
    .filter(({ verdict }) => verdict !== 'unchanged' && verdict !== 'drift')
    .map(({ id, fault, movements }) => [
      id,
      fault,
      movements.filter(({ verdict }) => verdict === 'change').slice(0, 3),
    ]);
  expect(outcomes).toHaveLength(set.length);
  expect(bad).toEqual([]);
});
