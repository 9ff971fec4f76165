import { promisify } from 'node:util';
import { gunzip, gzip } from 'node:zlib';
import type { Redis } from 'ioredis';
import type { AssessmentPart, PartResult } from '../assessment.js';
import { assessmentKeys, type OutputName, outputNames } from './assessment-keys.js';
import { type AssessmentRecord, type PartProgressRecord, recordFromFields } from './assessment-record.js';
import { writeWhileWanted } from './write-while-wanted.js';

const compress = promisify(gzip);
const decompress = promisify(gunzip);

/** Finished outputs of an assessment, as text. */
export type AssessmentOutputs = Readonly<Record<OutputName, string>>;

/**
 * Reads and writes an assessment's data; whatever is large is kept compressed under a key of its own. Nothing is written once the
 * assessment has ended.
 */
export class AssessmentStore {
  constructor(readonly redis: Redis) {}

  async record(id: string): Promise<AssessmentRecord | null> {
    return recordFromFields(await this.redis.hgetall(assessmentKeys.record(id)));
  }

  async scenario(id: string): Promise<Buffer | null> {
    return this.redis.getBuffer(assessmentKeys.scenario(id));
  }

  /**
   * Keeps the first plan that is given; every later caller gets that one, whatever it brings.
   *
   * @returns null when the assessment has ended unplanned
   */
  async plan(id: string, make: () => readonly AssessmentPart[]): Promise<readonly AssessmentPart[] | null> {
    const known = await this.plannedParts(id);
    if (known !== null) return known;
    await writeWhileWanted(this.redis, id, [{ key: assessmentKeys.plan(id), value: JSON.stringify(make()) }]);
    return this.plannedParts(id);
  }

  async plannedParts(id: string): Promise<readonly AssessmentPart[] | null> {
    const text = await this.redis.get(assessmentKeys.plan(id));
    return text === null ? null : (JSON.parse(text) as readonly AssessmentPart[]);
  }

  async savePart(id: string, index: number, result: PartResult): Promise<void> {
    const value = await compress(JSON.stringify(result));
    await writeWhileWanted(this.redis, id, [
      { key: assessmentKeys.parts(id), field: index, value },
      { key: assessmentKeys.progress(id), field: index, value: '1' },
    ]);
  }

  async hasPart(id: string, index: number): Promise<boolean> {
    return (await this.redis.hexists(assessmentKeys.parts(id), String(index))) === 1;
  }

  /** Indices of the parts that have a result. */
  async finishedParts(id: string): Promise<ReadonlySet<number>> {
    return new Set((await this.redis.hkeys(assessmentKeys.parts(id))).map(Number));
  }

  async partResults(id: string): Promise<readonly PartResult[]> {
    const all = await this.redis.hgetallBuffer(assessmentKeys.parts(id));
    const texts = await Promise.all(Object.values(all).map((bytes) => decompress(bytes)));
    return texts.map((text) => JSON.parse(text.toString('utf8')) as PartResult);
  }

  /** Fractions of running parts; 1 stands for a part whose result is stored. */
  async saveProgress(id: string, index: number, fraction: number): Promise<void> {
    await writeWhileWanted(this.redis, id, [
      { key: assessmentKeys.progress(id), field: index, value: Math.min(fraction, 0.99).toFixed(2) },
    ]);
  }

  /** Of every planned part, in their order; of an assessment that failed or was cancelled none runs, nor waits, any more. */
  async progress({ id, state }: AssessmentRecord): Promise<readonly PartProgressRecord[]> {
    const [parts, fractions] = await Promise.all([
      this.plannedParts(id),
      this.redis.hgetall(assessmentKeys.progress(id)),
    ]);
    const isCutShort = state === 'failed' || state === 'cancelled';
    return (parts ?? []).map(({ damageCase, trains }, index) => {
      const fraction = Number(fractions[index] ?? -1);
      return {
        damage_case: damageCase,
        trains: [...trains],
        state: fraction === 1 ? 'completed' : isCutShort ? 'stopped' : fraction < 0 ? 'waiting' : 'running',
        fraction: Math.max(fraction, 0),
      };
    });
  }

  async saveOutputs(id: string, outputs: AssessmentOutputs): Promise<void> {
    const entries = outputNames.map(async (name) => ({
      key: assessmentKeys.output(id, name),
      value: await compress(outputs[name]),
    }));
    await writeWhileWanted(this.redis, id, await Promise.all(entries));
  }

  /** @returns gzip bytes; null when there is no such output (yet, or any more) */
  async output(id: string, name: OutputName): Promise<Buffer | null> {
    return this.redis.getBuffer(assessmentKeys.output(id, name));
  }

  async outputText(id: string, name: OutputName): Promise<string | null> {
    const bytes = await this.output(id, name);
    return bytes === null ? null : (await decompress(bytes)).toString('utf8');
  }
}
