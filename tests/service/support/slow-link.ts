import { once } from 'node:events';
import { createServer, connect as openSocket, type Server, type Socket } from 'node:net';

/** A link to a TCP server whose answers arrive late, or never: what lies between is the moment a test wants. */
export class SlowLink {
  private constructor(
    private readonly server: Server,
    private readonly sockets: ReadonlySet<Socket>,
    readonly port: number,
  ) {}

  static async to(port: number, answerMilliseconds: number): Promise<SlowLink> {
    const sockets = new Set<Socket>();
    const server = createServer((near) => {
      const far = openSocket(port, '127.0.0.1');
      for (const socket of [near, far]) {
        sockets.add(socket);
        socket.on('error', () => socket.destroy());
        socket.on('close', () => {
          sockets.delete(socket);
          near.destroy();
          far.destroy();
        });
      }
      near.on('data', (chunk) => far.write(chunk));
      far.on('data', (chunk) => setTimeout(() => near.write(chunk), answerMilliseconds));
    }).listen(0, '127.0.0.1');
    await once(server, 'listening');
    const address = server.address();
    if (typeof address !== 'object' || address === null) throw new Error('no port');
    return new SlowLink(server, sockets, address.port);
  }

  close(): void {
    this.server.close();
    for (const socket of this.sockets) socket.destroy();
  }
}
