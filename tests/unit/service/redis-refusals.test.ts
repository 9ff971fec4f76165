import { ReplyError } from 'ioredis';
import { expect, test } from 'vitest';
import { isDenied, isRedisUnavailable, refusesToWrite } from '../../../worker/service/redis.js';

const discarded = 'EXECABORT Transaction discarded because of previous errors.';
const full = "OOM command not allowed when used memory > 'maxmemory'.";

function aborted(...previous: readonly string[]): Error {
  return Object.assign(new ReplyError(discarded), {
    previousErrors: previous.map((text) => new Error(text)),
  });
}

test.each([
  new ReplyError(full),
  new ReplyError('NOREPLICAS Not enough good replicas to write.'),
  new ReplyError("READONLY You can't write against a read only replica."),
  new ReplyError('MISCONF Redis is configured to save RDB snapshots, but it is unable to persist on disk.'),
  new ReplyError(`EXECABORT Transaction discarded because of: ${full}`),
  new ReplyError(`ERR Error running script (call to f_0a1b): @user_script:4: @user_script: 4: -${full}`),
  aborted(full),
])('a Redis that refuses to write is unavailable for what writes: $message', (error) => {
  expect(refusesToWrite(error)).toBe(true);
  expect(isRedisUnavailable(error)).toBe(true);
});

test.each([
  new ReplyError('LOADING Redis is loading the dataset in memory'),
  new Error('Command timed out'),
  new Error("Socket timeout. Expecting data, but didn't receive any in 8000ms."),
  new Error('connect ECONNREFUSED 127.0.0.1:6379'),
])('a Redis that serves nothing is unavailable, and not for writing alone: $message', (error) => {
  expect(refusesToWrite(error)).toBe(false);
  expect(isRedisUnavailable(error)).toBe(true);
});

test.each([
  new ReplyError('NOAUTH Authentication required.'),
  new ReplyError('WRONGPASS invalid username-password pair or user is disabled.'),
  new ReplyError("NOPERM this user has no permissions to run the 'hset' command"),
  new ReplyError(
    "ERR The user executing the script can't run this command or subcommand script: 22, on @user_script:1.",
  ),
  new ReplyError(
    "ERR Error running script (call to f_0a1b): @user_script:1: -ERR The user executing the script can't run it",
  ),
])('what Redis denies its user says nothing of the work: $message', (error) => {
  expect(isDenied(error)).toBe(true);
  expect(isRedisUnavailable(error)).toBe(true);
  expect(refusesToWrite(error)).toBe(false);
});

test.each([
  new ReplyError('WRONGTYPE Operation against a key holding the wrong kind of value'),
  new ReplyError('ERR Error running script (call to f_0a1b): @user_script:4: attempt to index a nil value'),
  aborted('ERR wrong number of arguments'),
])('what waiting cannot cure is no unavailability: $message', (error) => {
  expect(isRedisUnavailable(error)).toBe(false);
  expect(isDenied(error)).toBe(false);
});
