import { availableParallelism } from 'node:os';
import { getNextMillis } from 'bullmq';
import { z } from 'zod';
import { describeValue } from '../../scenarios/faults/describe-value.js';
import { nearestWord } from '../../scenarios/faults/guess-word.js';

const flag = z.enum(['true', 'false']).transform((text) => text === 'true');
const number = (minimum: number, maximum: number) => z.coerce.number().min(minimum).max(maximum);
const count = (minimum: number, maximum: number) => z.coerce.number().int().min(minimum).max(maximum);

/** One entry per environment variable; the description is what worker/README.md says about it. */
export const settingsSchema = z.object({
  REDIS_URL: z
    .url({ protocol: /^rediss?$/ })
    .refine((text) => URL.canParse(text) && /^\/?$|^\/\d{1,5}$/.test(new URL(text).pathname))
    .meta({
      accepted:
        'the address of a Redis, behind whose host there may only be the number of a database, as in redis://127.0.0.1:6379/1',
      secret: true,
    })
    .default('redis://127.0.0.1:6379')
    .describe('Redis, 6.2 or newer, noeviction'),
  HOST: z.string().min(1).default('127.0.0.1').describe('Address on which the API listens'),
  PORT: count(0, 65_535).default(8080).describe('Port on which the API listens; 0 takes a free one'),
  LOG_LEVEL: z
    .enum(['fatal', 'error', 'warn', 'info', 'debug', 'silent'])
    .default('info')
    .describe('Least serious log line that is written'),
  DECKPACE_THREADS: count(1, 256)
    .default(availableParallelism())
    .describe('Parts that one worker computes at a time'),
  DECKPACE_TRAINS_PER_PART: count(0, 200)
    .default(0)
    .describe('Trains in one part; 0 takes as many as make a few seconds of work'),
  DECKPACE_PART_SECONDS: number(0.1, 86_400)
    .default(600)
    .describe('Time limit of one part, and of gathering them'),
  DECKPACE_PART_MEGABYTES: number(64, 1_048_576)
    .default(2048)
    .describe('Memory limit of one part, and of gathering them'),
  DECKPACE_LOCK_SECONDS: number(1, 600)
    .default(20)
    .describe('A part of a worker that vanished is free for others after this time'),
  DECKPACE_STALLED_CHECK_SECONDS: number(0.5, 600)
    .default(10)
    .describe('How often workers look for parts of vanished workers'),
  DECKPACE_CRASHES_PER_PART: count(1, 1000)
    .default(30)
    .describe('Workers that may vanish over one part before it counts as failed'),
  DECKPACE_ENGINE_WAIT_SECONDS: number(0, 86_400)
    .default(900)
    .describe('What was submitted for another version is left so long to workers of that version'),
  DECKPACE_GRACE_SECONDS: number(0, 3600)
    .default(25)
    .describe('On SIGTERM: time to finish running parts before they are handed back'),
  DECKPACE_RETENTION_DAYS: number(0.001, 3650)
    .default(30)
    .describe('Finished assessments are kept this long; those under a restriction for ever'),
  DECKPACE_RETENTION_COUNT: count(1, 10_000_000)
    .default(10_000)
    .describe('At most so many finished assessments are kept'),
  DECKPACE_BODY_MEGABYTES: number(0.001, 10).default(10).describe('Largest request body'),
  DECKPACE_REQUEST_SECONDS: number(1, 600).default(30).describe('Time in which a request must have arrived'),
  DECKPACE_REQUESTS_PER_MINUTE: count(1, 10_000_000).default(600).describe('Rate limit of one key'),
  DECKPACE_WEBHOOK_SECONDS: number(0.1, 120).default(10).describe('Time limit of one webhook delivery'),
  DECKPACE_WEBHOOK_ATTEMPTS: count(1, 1000)
    .default(125)
    .describe('Attempts at a delivery, 1 s to 15 min apart; the default goes on for a day'),
  DECKPACE_WEBHOOK_PRIVATE: flag
    .default(false)
    .describe('true: webhooks may go to private, loopback and link-local addresses and to plain http'),
  DECKPACE_METRICS_TOKEN: z
    .string()
    .min(16)
    .meta({ accepted: 'a text of 16 characters or more', secret: true })
    .optional()
    .describe('Bearer token that /metrics asks for; without one /metrics is open'),
  DECKPACE_NIGHTLY_CRON: z
    .string()
    .refine(isCronOrOff)
    .meta({ accepted: 'five or six fields of a cron pattern that comes due, or off' })
    .default('30 1 * * *')
    .describe('When the regression set runs in the service, cron pattern in UTC; off: never'),
  DECKPACE_NIGHTLY_FILTER: z
    .string()
    .optional()
    .describe('Only regression scenarios with this in their names; default: all'),
  DECKPACE_ENGINE: z
    .url({ protocol: /^file$/ })
    .meta({ accepted: 'the address of a file, as in file:///srv/engine.js' })
    .optional()
    .describe('Module that computes instead of the built-in one (tests of the service use it)'),
});

/** As the queue will read it: what it cannot, or what never comes due, would end the worker as it starts. */
function isCronOrOff(text: string): boolean {
  if (text === 'off') return true;
  if (!/^\S+( \S+){4,5}$/.test(text)) return false;
  try {
    return getNextMillis(Date.now(), { pattern: text, tz: 'UTC' }) !== undefined;
  } catch {
    return false;
  }
}

export type Settings = Readonly<z.infer<typeof settingsSchema>>;

/** The environment asks for something that is not accepted; the message names every variable concerned. */
export class SettingsError extends Error {
  override readonly name = 'SettingsError';
}

/**
 * Configuration from the environment, parsed once and frozen. A variable that is empty, or blank, counts as absent; one whose name is
 * nearly that of a setting is refused, because what it was to set would silently stay as it is by default.
 *
 * @throws SettingsError
 */
export function readSettings(environment: Readonly<Record<string, string | undefined>>): Settings {
  const given = Object.fromEntries(
    Object.keys(settingsSchema.shape).flatMap((key) =>
      environment[key]?.trim() ? [[key, environment[key]]] : [],
    ),
  );
  const parsed = settingsSchema.safeParse(given);
  const names = new Set(parsed.error?.issues.map(({ path }) => String(path[0])));
  const faults = [
    ...[...names].map((name) => faultOf(name, environment[name] ?? '')),
    ...unknownNames(environment).flatMap(({ name, meant }) =>
      meant === null ? [] : [`${name}: there is no such variable; did you mean ${meant}?`],
    ),
  ];
  if (parsed.success && faults.length === 0) return Object.freeze(parsed.data);
  throw new SettingsError(
    `Configuration not accepted. ${faults.join('; ')}. The variables are listed in worker/README.md.`,
  );
}

/**
 * Sentences about variables that begin as the settings do and are none, nor near one. Others may have set them: a cluster gives every
 * container the addresses of its services, under names like these.
 */
export function settingsWarnings(
  environment: Readonly<Record<string, string | undefined>>,
): readonly string[] {
  return unknownNames(environment)
    .filter(({ meant }) => meant === null)
    .map(
      ({ name }) =>
        `${name} is set, but there is no such variable, and it changes nothing. The variables are listed in worker/README.md.`,
    );
}

const PREFIX = 'DECKPACE_';
/** What others than the service read: the build of the image. */
const OTHERS: readonly string[] = ['DECKPACE_COMMIT'];

/** Variables that begin as the settings do and are none, each with the setting that was probably meant. */
function unknownNames(environment: Readonly<Record<string, string | undefined>>) {
  const known = Object.keys(settingsSchema.shape).filter((name) => name.startsWith(PREFIX));
  // Without what all begin with, which would make any two of them near.
  const words = known.map((name) => name.slice(PREFIX.length));
  return Object.keys(environment)
    .filter((name) => name.toUpperCase().startsWith(PREFIX) && environment[name]?.trim())
    .filter((name) => !known.includes(name) && !OTHERS.includes(name))
    .map((name) => {
      const meant = nearestWord(name.slice(PREFIX.length).toUpperCase(), words);
      return { name, meant: meant === null ? null : PREFIX + meant };
    });
}

/** As of a scenario: the place, what was found, what is accepted. What may be a secret is not repeated, since logs keep it. */
function faultOf(name: string, found: string): string {
  const entry = Object.entries(settingsSchema.shape).find(([key]) => key === name)?.[1];
  const schema = entry === undefined ? undefined : underlying(entry);
  const hidden = schema?.meta()?.secret === true;
  const told = hidden ? `a text of ${found.length} characters (not shown)` : describeValue(found);
  return `${name}: found ${told}; accepted: ${schema === undefined ? 'nothing' : acceptedBy(schema)}`;
}

/** Without what stands in for an absent value or turns a text into another. */
function underlying(schema: z.ZodType): z.ZodType {
  const within =
    schema instanceof z.ZodDefault || schema instanceof z.ZodOptional
      ? schema.unwrap()
      : schema instanceof z.ZodPipe
        ? schema.in
        : null;
  return within instanceof z.ZodType ? underlying(within) : schema;
}

function acceptedBy(schema: z.ZodType): string {
  const stated = schema.meta()?.accepted;
  if (typeof stated === 'string') return stated;
  if (schema instanceof z.ZodEnum) return `one of ${schema.options.join(', ')}`;
  if (schema instanceof z.ZodNumber)
    return `${schema.isInt ? 'a whole number' : 'a number'} from ${schema.minValue} to ${schema.maxValue}`;
  return 'a text that is not empty';
}
