import { once } from 'node:events';
import { createServer, connect as openSocket, type Server, type Socket } from 'node:net';

/** A link to a TCP server whose answers arrive late, or never: what lies between is the moment a test wants. */
export class SlowLink {
  /** Counted up where all that is open falls silent. */
  private age = 0;

  private constructor(
    private readonly server: Server,
    private readonly sockets: ReadonlySet<Socket>,
    private readonly delay: { milliseconds: number },
    readonly port: number,
  ) {}

  static async to(port: number, answerMilliseconds: number): Promise<SlowLink> {
    const sockets = new Set<Socket>();
    const delay = { milliseconds: answerMilliseconds };
    let link: SlowLink | null = null;
    const server = createServer((near) => {
      const born = link?.age;
      const isOpen = () => link?.age === born;
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
      near.on('data', (chunk) => isOpen() && far.write(chunk));
      far.on('data', (chunk) => setTimeout(() => isOpen() && near.write(chunk), delay.milliseconds));
    }).listen(0, '127.0.0.1');
    await once(server, 'listening');
    const address = server.address();
    if (typeof address !== 'object' || address === null) throw new Error('no port');
    link = new SlowLink(server, sockets, delay, address.port);
    return link;
  }

  /** From now on answers arrive so late. */
  answerAfter(milliseconds: number): void {
    this.delay.milliseconds = milliseconds;
  }

  /** Cuts every connection; new ones are taken. What was answered but has not arrived is lost. */
  cut(): void {
    for (const socket of this.sockets) socket.destroy();
  }

  /** Whatever is open stays open and carries nothing any more, in either direction; what is opened from now on works. */
  fallSilent(): void {
    this.age += 1;
  }

  close(): void {
    this.server.close();
    this.cut();
  }
}
