import { ReplyError } from 'ioredis';
import { pino } from 'pino';
import { expect, test } from 'vitest';
import { loggedError } from '../../../worker/service/log.js';

test('the log has the reason of an error', () => {
  const error = Object.assign(new RangeError('no row 7'), { code: 'ERR_ROW' });
  expect(loggedError(error)).toMatchObject({ type: 'RangeError', message: 'no row 7', code: 'ERR_ROW' });
  expect(loggedError(error)).toHaveProperty('stack', error.stack);
  expect(loggedError('a reason in words')).toBe('a reason in words');
});

test('the log has the name of a refused command and none of its arguments', () => {
  const error = Object.assign(new ReplyError('NOREPLICAS Not enough good replicas to write.'), {
    command: { name: 'hset', args: ['deckpace:subscriptions', 's1', '{"secret":"whsec_of-a-subscriber"}'] },
    previousErrors: [Object.assign(new Error('refused'), { command: { args: ['whsec_of-a-subscriber'] } })],
  });
  const logged = loggedError(error);
  expect(logged).toMatchObject({ command: 'hset' });
  expect(JSON.stringify(logged)).not.toContain('whsec_');
  expect(loggedError(pino.stdSerializers.err(error))).toEqual(logged);
});
