import type fc from 'fast-check';
import { readScenario } from '../../../scenarios/read-scenario.js';
import type { Result } from '../../../scenarios/result.js';
import type { Scenario } from '../../../scenarios/scenario.js';
import { gatherResult, planAssessment, runPart } from '../../../worker/engine.js';
import { serialiseResult } from '../../../worker/report/result-json.js';

/** Runs per property: 50 on every change, more at night (DECKPACE_FUZZ_RUNS). */
const runs = Number(process.env.DECKPACE_FUZZ_RUNS ?? 50);
const seed = process.env.DECKPACE_FUZZ_SEED;

/** Settings of a property that gets this share of the runs; a failure prints the seed and the shrunk scenario. */
export function fuzz<T>(share: number): fc.Parameters<T> {
  return {
    numRuns: Math.max(1, Math.round(runs * share)),
    // The same scenarios on every change, so that a red run is about the change; new ones every night.
    seed: seed === undefined ? 20261125 : Number(seed),
    // Shrinking runs whole assessments: worth it at night, or when asked for.
    endOnFailure: process.env.DECKPACE_FUZZ_SHRINK === undefined,
  };
}

/** Milliseconds: a share of the runs, each of which takes well under a second or two. */
export const fuzzTimeout = 120_000 + runs * 20_000;

/** Reads a scenario file as the command line does; a fault is a fault of the generator. */
export function valid(file: unknown): { readonly scenario: Scenario; readonly sha256: string } {
  const reading = readScenario(JSON.stringify(file));
  if (!reading.ok) throw new Error(reading.faults.map(({ message }) => message).join('\n'));
  return reading;
}

/** The whole way from a file to a result that can be written. */
export function assessFile(file: unknown): Result {
  const { scenario, sha256 } = valid(file);
  const parts = planAssessment(scenario, 1000).map((part) => runPart(scenario, part));
  const result = gatherResult(scenario, parts, sha256);
  serialiseResult(result);
  return result;
}
