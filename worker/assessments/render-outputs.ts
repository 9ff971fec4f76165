import type { Result } from '../../scenarios/result.js';
import { renderReport } from '../report/report-html.js';
import { serialiseResult } from '../report/result-json.js';
import { renderSweepsCsv } from '../report/sweeps-csv.js';
import type { AssessmentOutputs } from './assessment-store.js';

/** Everything that is handed out of a finished assessment: the same text as the command line writes. */
export function renderOutputs(result: Result, scenarioDocument: unknown): AssessmentOutputs {
  return {
    result: serialiseResult(result),
    report: renderReport(result, scenarioDocument),
    sweeps: renderSweepsCsv(result),
  };
}
