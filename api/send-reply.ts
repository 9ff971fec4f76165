import { promisify } from 'node:util';
import { gunzip } from 'node:zlib';
import type { Request, Response } from 'express';
import type { Problem } from './problem.js';
import type { Reply } from './route.js';

const unpack = promisify(gunzip);

export async function sendReply(request: Request, response: Response, reply: Reply): Promise<void> {
  if ('streamed' in reply) return;
  response.status(reply.status);
  if ('headers' in reply && reply.headers !== undefined) response.set(reply.headers);
  if ('gzip' in reply) {
    response.set('content-type', reply.contentType).vary('accept-encoding');
    if (request.acceptsEncodings('gzip') === 'gzip')
      response.set('content-encoding', 'gzip').send(reply.gzip);
    else response.send(await unpack(reply.gzip));
  } else if ('text' in reply) {
    response.set('content-type', reply.contentType).send(reply.text);
  } else if ('json' in reply) {
    response.json(reply.json);
  } else {
    response.end();
  }
}

export function sendProblem(response: Response, problem: Problem, requestId: string): void {
  if (response.headersSent) {
    response.destroy();
    return;
  }
  response
    .status(problem.status)
    .set(problem.options.headers ?? {})
    .set('content-type', 'application/problem+json')
    .send(JSON.stringify(problem.document(requestId)));
}
