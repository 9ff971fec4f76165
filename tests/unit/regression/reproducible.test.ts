import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readScenario } from '../../../scenarios/read-scenario.js';
import type { AssessmentPart, PartResult } from '../../../worker/assessment.js';
import { gatherResult, planAssessment, runPart } from '../../../worker/engine.js';
import { createPartPool } from '../../../worker/part-pool.js';
import { regressionFolder } from '../../../worker/regression/regression-set.js';
import { serialiseResult } from '../../../worker/report/result-json.js';

/** Slab track, several trains and a mechanism; two classes on a bare deck; settlements and an own class. */
const names = ['pier-lost-simple', 'ballasted-limits', 'static-load-models'];

const scenarios = names.map((name) => {
  const reading = readScenario(readFileSync(join(regressionFolder().path, `${name}.json`)));
  if (!reading.ok) throw new Error(`${name} does not validate`);
  return { name, ...reading };
});

describe.each(scenarios)('the result of $name', ({ scenario, sha256 }) => {
  const text = (parts: readonly PartResult[]) => serialiseResult(gatherResult(scenario, parts, sha256));
  const inThisThread = (parts: readonly AssessmentPart[]) => parts.map((part) => runPart(scenario, part));
  const plan = planAssessment(scenario);
  const reference = text(inThisThread(plan));

  it('has the same bytes when it is computed again after something else', () => {
    const other = scenarios.find(({ scenario: one }) => one !== scenario)!.scenario;
    runPart(other, planAssessment(other)[0]!);
    expect(text(inThisThread(plan))).toBe(reference);
  });

  it('has the same bytes whatever the order of the parts, and with parts computed twice', () => {
    const backwards = inThisThread([...plan].reverse());
    expect(text(backwards)).toBe(reference);
    expect(text([...backwards, ...backwards])).toBe(reference);
  });

  it('has the same bytes in one part per train and in one part per case', () => {
    expect(text(inThisThread(planAssessment(scenario, 1000)))).toBe(reference);
  });

  it.each([1, 2])('has the same bytes from a pool of %i threads', async (threads) => {
    const pool = createPartPool({ threads });
    try {
      expect(text(await Promise.all(plan.map((part) => pool.run(scenario, part))))).toBe(reference);
    } finally {
      await pool.close();
    }
  });

  it('holds no time and nothing about the machine', () => {
    expect(reference).not.toMatch(/\d{4}-\d\d-\d\dT/);
    expect(reference).not.toContain(process.cwd());
    expect(Object.keys(JSON.parse(reference))).toEqual([
      'format',
      'scenario_sha256',
      'engine',
      'provenance',
      'title',
      'line_speed_kmh',
      'cases',
      'speeds_hold',
      'recommendations',
      'cautions',
    ]);
  });
});
