import type { Fault } from '../../../scenarios/fault.js';
import { readScenario } from '../../../scenarios/read-scenario.js';
import { fullScenario } from './minimal-scenario.js';

/** The faults of a document, or of a text as it stands; empty for a valid scenario. */
export function faultsOf(input: unknown): readonly Fault[] {
  const reading = readScenario(typeof input === 'string' ? input : JSON.stringify(input));
  return reading.ok ? [] : reading.faults;
}

/** "code pointer" of each fault. */
export function codesOf(input: unknown): readonly string[] {
  return faultsOf(input).map((one) => `${one.code} ${one.pointer}`);
}

/** The full scenario with the value at a JSON pointer replaced, or removed where the value is undefined. */
export function fullScenarioWith(pointer: string, value: unknown): unknown {
  const document: unknown = fullScenario();
  const parts = pointer.slice(1).split('/');
  const last = parts.pop()!;
  let target: unknown = document;
  for (const part of parts) target = Reflect.get(objectOf(target), part);
  if (value === undefined) Reflect.deleteProperty(objectOf(target), last);
  else Reflect.set(objectOf(target), last, value);
  return document;
}

function objectOf(value: unknown): object {
  if (typeof value !== 'object' || value === null) throw new Error('no object at this pointer');
  return value;
}
