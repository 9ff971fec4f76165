import { create } from 'xmlbuilder2';
import { countText, mostListed, movementCells, movementColumns, worstFirst } from './movement-text.js';
import type { RegressionRun, ScenarioOutcome } from './run-regression.js';

/**
 * The run as a JUnit report: one test case per scenario. A change or a missing baseline is a failure, a computation that failed
 * an error; drift is told in system-out.
 */
export function junitXml({ outcomes, seconds }: RegressionRun): string {
  const failures = outcomes.filter(({ verdict }) => verdict === 'change' || verdict === 'no-baseline').length;
  const errors = outcomes.filter(({ verdict }) => verdict === 'failed').length;
  const counts = {
    name: 'deckpace regression',
    tests: String(outcomes.length),
    failures: String(failures),
    errors: String(errors),
    time: seconds.toFixed(3),
  };
  // Control characters cannot stand in XML, escaped or not.
  const root = create({ version: '1.0', encoding: 'UTF-8', invalidCharReplacement: '�' }).ele(
    'testsuites',
    counts,
  );
  const suite = root.ele('testsuite', counts);
  for (const outcome of outcomes) {
    const test = suite.ele('testcase', {
      name: outcome.id,
      classname: 'deckpace.regression',
      time: outcome.seconds.toFixed(3),
    });
    if (outcome.verdict === 'unchanged') continue;
    if (outcome.verdict === 'drift') test.ele('system-out').txt(movementsText(outcome));
    else {
      const kind = outcome.verdict === 'failed' ? 'error' : 'failure';
      const message = outcome.fault ?? countText(outcome.movements);
      test.ele(kind, { message, type: outcome.verdict }).txt(movementsText(outcome));
    }
  }
  return `${root.end({ prettyPrint: true })}\n`;
}

function movementsText({ movements, fault }: ScenarioOutcome): string {
  if (fault !== null) return fault;
  const { shown, left } = worstFirst(movements, mostListed.junit);
  return [
    ['verdict', ...movementColumns].join(' | '),
    ...shown.map((movement) => [movement.verdict, ...movementCells(movement)].join(' | ')),
    ...(left > 0 ? [`and ${left} more`] : []),
  ].join('\n');
}
