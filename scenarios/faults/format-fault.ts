import { type Fault, fault } from '../fault.js';
import { scenarioFormat } from '../scenario.js';
import { member } from './cross/lenient.js';
import { describeValue } from './describe-value.js';

interface FormatFault {
  readonly fault: Fault;
  /** Nothing else of the file is worth looking at: it is something else. */
  readonly alone: boolean;
}

/** What is wrong with the format tag; null for a scenario of this version. */
export function formatFault(document: unknown): FormatFault | null {
  if (typeof document !== 'object' || document === null || Array.isArray(document)) {
    return {
      alone: true,
      fault: fault([], 'wrong-type', {
        found: describeValue(document),
        accepted: `an object with "format": "${scenarioFormat}"`,
      }),
    };
  }
  const format = member(document, 'format');
  if (format === scenarioFormat) return null;
  const accepted = JSON.stringify(scenarioFormat);
  if (format === undefined) {
    return { alone: false, fault: fault(['format'], 'format-missing', { found: 'nothing', accepted }) };
  }
  const version = typeof format === 'string' ? /^deckpace\/scenario@(\d+)$/.exec(format)?.[1] : undefined;
  if (version !== undefined && Number(version) > 1) {
    return {
      alone: true,
      fault: fault(['format'], 'format-newer', {
        found: describeValue(format),
        accepted,
        guess: `The file was written for a newer deckpace: update deckpace, or write it as ${scenarioFormat}.`,
      }),
    };
  }
  return {
    alone: true,
    fault: fault(['format'], 'format-unknown', { found: describeValue(format), accepted }),
  };
}
