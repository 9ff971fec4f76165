import type { Server, ServerResponse } from 'node:http';
import type { Socket } from 'node:net';

/** How soon a connection that has carried its last answer is closed, where the client does not close it. */
const IDLE_CHECK_MILLISECONDS = 100;
/** What somebody who has only just connected may take to send something. */
const SILENT_MILLISECONDS = 1000;

/**
 * Makes a server able to end in order. Left to itself it would serve for the whole grace period whoever keeps asking on an open
 * connection, and then cut them in the middle of a request.
 *
 * @returns ends it: no new connections; whatever is answered from now on is the last of its connection; what is left after the grace
 *   period is cut
 */
export function orderlyEnd(server: Server): (graceSeconds: number) => Promise<void> {
  const underWay = new Set<ServerResponse>();
  const open = new Set<Socket>();
  let ending = false;
  server.on('connection', (socket) => {
    open.add(socket);
    socket.once('close', () => open.delete(socket));
  });
  server.prependListener('request', (_request, response) => {
    if (ending) makeLast(response);
    underWay.add(response);
    response.once('close', () => underWay.delete(response));
  });
  return async (graceSeconds) => {
    ending = true;
    for (const response of underWay) makeLast(response);
    const closed = new Promise((resolve) => server.close(resolve));
    const idle = setInterval(() => server.closeIdleConnections(), IDLE_CHECK_MILLISECONDS);
    const unused = setTimeout(() => {
      // One that was opened in advance and has carried nothing yet is not idle in the server's eyes.
      for (const socket of open) if (socket.bytesRead === 0) socket.destroy();
    }, SILENT_MILLISECONDS);
    const cut = setTimeout(() => server.closeAllConnections(), graceSeconds * 1000);
    await closed;
    clearInterval(idle);
    clearTimeout(unused);
    clearTimeout(cut);
  };
}

/** The client asks again on a new connection, which another process takes. */
function makeLast(response: ServerResponse): void {
  if (!response.headersSent) response.setHeader('connection', 'close');
}
