import type { z } from 'zod';
import { pointerOf } from '../scenarios/fault.js';
import { ListChangedError, ListsIncompleteError } from '../worker/restrictions/list-restrictions.js';
import { ConcurrentChangeError, UnknownRestrictionError } from '../worker/restrictions/restriction-log.js';
import { RestrictionRefusal } from '../worker/restrictions/restriction-refusal.js';
import { isRedisUnavailable } from '../worker/service/redis.js';
import { WebhookTargetRefused } from '../worker/subscriptions/webhook-address.js';
import { Problem, type RequestFault } from './problem.js';

/** The problem that an error means to the client; what is not known is a fault of the service and says no more. */
export function problemFrom(error: unknown): Problem {
  if (error instanceof Problem) return error;
  if (error instanceof RestrictionRefusal) return fromRefusal(error);
  if (error instanceof UnknownRestrictionError) return new Problem('not-found', error.message);
  if (error instanceof ConcurrentChangeError || error instanceof ListChangedError)
    return new Problem('concurrent-change', error.message);
  if (error instanceof ListsIncompleteError)
    return new Problem('unavailable', error.message, { headers: { 'retry-after': '60' } });
  if (error instanceof WebhookTargetRefused) return new Problem('target-refused', error.message);
  if (isRedisUnavailable(error)) {
    return new Problem('unavailable', 'The store does not answer. Nothing is lost; try again shortly.', {
      headers: { 'retry-after': '2' },
    });
  }
  return (
    fromHttpParser(error) ??
    new Problem('internal', 'The service failed; the request id finds it in the log.')
  );
}

function fromRefusal(refusal: RestrictionRefusal): Problem {
  switch (refusal.code) {
    case 'author-cannot-approve':
    case 'approver-needed':
      return new Problem(refusal.code, refusal.message);
    case 'wrong-state':
    case 'predecessor-not-in-force':
      return new Problem('wrong-state', refusal.message);
    default:
      return new Problem('restriction-refused', `${refusal.message} (${refusal.code})`);
  }
}

/** Errors of Express and its body parser carry the status they ask for. */
function fromHttpParser(error: unknown): Problem | null {
  if (!(error instanceof Error) || !('status' in error)) return null;
  const kind = 'type' in error ? String(error.type) : '';
  if (error.status === 413)
    return new Problem('body-too-large', 'The body is larger than this service accepts.');
  if (error.status === 415) return new Problem('wrong-media-type', 'The content encoding is not supported.');
  if (kind === 'request.aborted') return new Problem('malformed-request', 'The request was cut off.');
  if (error.status === 400) return new Problem('malformed-request', 'The request could not be read.');
  return null;
}

/** Zod's issues in the form that scenario faults have. */
export function faultsFrom(error: z.ZodError, within: string): readonly RequestFault[] {
  return error.issues.slice(0, 100).map((issue) => {
    const pointer = pointerOf(issue.path);
    return {
      pointer,
      code: issue.code,
      found: 'something else',
      accepted: issue.message,
      guess: null,
      message: `${pointer === '' ? within : pointer}: ${issue.message}`,
    };
  });
}
