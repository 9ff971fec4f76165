import wrapAnsi from 'wrap-ansi';
import { libraryTrains } from '../../scenarios/library/load-models.js';
import { trackForms } from '../../scenarios/library/track-forms.js';
import { libraryVehicles } from '../../scenarios/library/vehicles.js';
import { limitSets } from '../../scenarios/limits/limit-sets.js';
import { printedUnit } from '../report/quantity.js';
import { unbroken, withPlainSpaces } from '../report/unbroken.js';
import { type OutputStream, type Terminal, widthOf, writeOut } from './terminal.js';

export type LibraryTopic = 'trains' | 'limits' | 'track' | 'vehicles';

export interface LibraryOptions {
  readonly json: boolean;
}

/** `deckpace library`: what is built in, each value with its source. */
export async function libraryCommand(
  topic: LibraryTopic,
  { json }: LibraryOptions,
  { stdout }: Terminal,
): Promise<void> {
  const { data, text } = topics[topic]();
  await writeOut(
    stdout,
    json ? `${JSON.stringify(data, null, 2)}\n` : `${fitted(text, stdout).join('\n')}\n`,
  );
}

/** The lines, broken on a terminal that is narrower, each part as far in as the last column of its line. What is piped keeps its lines. */
function fitted(lines: readonly string[], stdout: OutputStream): readonly string[] {
  if (!stdout.isTTY) return lines;
  const width = widthOf(stdout);
  return lines.flatMap((line) => {
    if (line.length <= width) return line;
    const indent = Math.min(line.lastIndexOf('  ') + 2, Math.floor(width / 2));
    const parts = withPlainSpaces(
      wrapAnsi(unbroken(line.slice(indent)), width - indent, { hard: true }),
    ).split('\n');
    return parts.map((part, index) => (index === 0 ? line.slice(0, indent) : ' '.repeat(indent)) + part);
  });
}

const topics: Readonly<
  Record<LibraryTopic, () => { readonly data: unknown; readonly text: readonly string[] }>
> = {
  trains() {
    const data = libraryTrains();
    return {
      data,
      text: data.flatMap(({ id, class: trainClass, description, source }) => [
        `${id.padEnd(10)}${trainClass.padEnd(11)}${description}`,
        `${' '.repeat(21)}${source}`,
      ]),
    };
  },
  limits() {
    const data = Object.values(limitSets);
    return {
      data,
      text: data.flatMap(({ id, title, limits }) => [
        `${id}: ${title}`,
        ...limits.flatMap(({ check, kind, unit, steps, source }) => [
          `  ${check.padEnd(19)}${kind.padEnd(9)}${steps.map((step) => stepText(step, unit)).join('; ')}`,
          `${' '.repeat(30)}${source}`,
        ]),
        '',
      ]),
    };
  },
  track() {
    return {
      data: trackForms,
      text: trackForms.flatMap(({ id, description, track, source }) => [
        `${id}: ${description}`,
        ...Object.entries(track).flatMap(([layer, values]) =>
          Object.entries(values ?? {}).map(
            ([key, value]) => `  ${layer}.${key} = ${value ?? 'none (continuous)'}`,
          ),
        ),
        `  ${source}`,
        '',
      ]),
    };
  },
  vehicles() {
    const data = Object.values(libraryVehicles);
    return {
      data,
      text: data.flatMap(({ id, description, parameters, source }) => [
        `${id}: ${description}`,
        ...Object.entries(parameters).map(([key, value]) => `  ${key} = ${value}`),
        `  ${source}`,
        '',
      ]),
    };
  },
};

function stepText(
  { up_to_kmh, value }: { readonly up_to_kmh: number | null; readonly value: number },
  unit: string,
): string {
  const limit = unit === 'L/n' ? `L/${value}` : `${value}${unit === '-' ? '' : ` ${printedUnit(unit)}`}`;
  return up_to_kmh === null ? limit : `${limit} to ${up_to_kmh} km/h`;
}
