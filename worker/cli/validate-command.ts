import { InvalidScenarioError } from './command-errors.js';
import { readEveryFile, type ScenarioReading } from './read-scenario-file.js';
import { type Terminal, writeOut } from './terminal.js';

export interface ValidateOptions {
  /** Verdicts and faults as JSON on standard output. */
  readonly json: boolean;
}

/**
 * `deckpace validate`: says whether files are valid scenarios, and every fault where they are not. Runs nothing.
 *
 * @throws InvalidScenarioError after the faults of all files are known; with `json` they are on standard output as well
 */
export async function validateCommand(
  files: readonly string[],
  { json }: ValidateOptions,
  { stdout }: Terminal,
): Promise<void> {
  const readings = await readEveryFile(files);
  if (json) {
    const verdicts = readings.map(verdictOf);
    await writeOut(stdout, `${JSON.stringify(verdicts, null, 2)}\n`);
  }
  for (const reading of readings)
    if (reading.ok && !json) {
      const { deck, trains, damage_cases } = reading.scenario;
      const content = [
        counted(deck.spans.length, 'span'),
        counted(trains.length, 'train'),
        damage_cases.length === 0
          ? 'the intact case only'
          : `${damage_cases.length + 1} cases with the intact one`,
      ].join(', ');
      await writeOut(stdout, `${reading.file}: valid: ${content}; sha256 ${reading.sha256}\n`);
    }
  const invalid = readings.filter((reading) => !reading.ok);
  if (invalid.length > 0) throw new InvalidScenarioError(invalid);
}

/** `message` says why a file, or one that it names, cannot be read, and is null where all was read; then `faults` says what is wrong. */
function verdictOf(reading: ScenarioReading) {
  const { file } = reading;
  return reading.ok
    ? { file, valid: true, scenario_sha256: reading.sha256, faults: [], message: null }
    : {
        file,
        valid: false,
        scenario_sha256: null,
        faults: reading.faults,
        message: reading.unreadable?.message ?? null,
      };
}

const counted = (count: number, what: string): string => `${count} ${what}${count === 1 ? '' : 's'}`;
