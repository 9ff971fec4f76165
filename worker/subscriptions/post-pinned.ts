import { request as requestHttp } from 'node:http';
import { request as requestHttps } from 'node:https';
import type { PinnedAddress } from './webhook-address.js';

/**
 * Posts a body to a URL over a connection to the given address. Follows no redirect, reads nothing of the answer but its
 * status.
 *
 * @returns HTTP status
 * @throws Error when there is no answer within the time
 */
export function postPinned(
  url: URL,
  { address, family }: PinnedAddress,
  headers: Readonly<Record<string, string>>,
  body: string,
  seconds: number,
): Promise<number> {
  const request = url.protocol === 'https:' ? requestHttps : requestHttp;
  return new Promise((resolve, reject) => {
    const posted = request(
      url,
      {
        method: 'POST',
        agent: false,
        signal: AbortSignal.timeout(seconds * 1000),
        lookup: (_host, options, done) => {
          if (options.all) done(null, [{ address, family }]);
          else done(null, address, family);
        },
        headers: { ...headers, 'content-length': Buffer.byteLength(body).toString() },
      },
      (response) => {
        resolve(response.statusCode ?? 0);
        response.destroy();
      },
    );
    posted.on('error', (error) =>
      reject(error.name === 'AbortError' ? new Error(`no answer within ${seconds} s`) : error),
    );
    posted.end(body);
  });
}
