import { randomUUID } from 'node:crypto';
import type { Request, RequestHandler, Response } from 'express';
import type { Logger } from '../worker/service/log.js';

/**
 * Gives every request an id, the client's own where it sent a fitting one, and writes one line when it has been answered:
 * error where the service failed, info where it refused, debug for all others. Nothing is put together for a line that is
 * not written.
 */
export function logRequests(log: Logger): RequestHandler {
  return (request, response, next) => {
    const begun = Date.now();
    const given = request.headers['x-request-id'];
    response.setHeader(
      'x-request-id',
      typeof given === 'string' && /^[\w-]{1,64}$/.test(given) ? given : randomUUID(),
    );
    let failure: Error | undefined;
    response.on('error', (error) => {
      failure = error;
    });
    response.on('close', () => {
      const level = levelOf(response, failure);
      if (!log.isLevelEnabled(level)) return;
      log[level](
        {
          req: requestFields(request, response),
          res: { status: response.statusCode },
          responseTime: Date.now() - begun,
          ...(failure === undefined ? {} : { err: failure }),
        },
        response.writableFinished ? 'request completed' : 'request aborted',
      );
    });
    next();
  };
}

/** The id under which client, problem document and log know a request. */
export function requestIdOf(response: Response): string {
  return String(response.getHeader('x-request-id'));
}

/** What a client sends in headers and bodies is its own affair; the request id leads from its report to the line. */
export function requestFields({ method, originalUrl }: Request, response: Response) {
  return { id: requestIdOf(response), method, url: originalUrl };
}

function levelOf(response: Response, failure: Error | undefined): 'error' | 'info' | 'debug' {
  if (failure !== undefined || response.statusCode >= 500) return 'error';
  return response.statusCode >= 400 ? 'info' : 'debug';
}
