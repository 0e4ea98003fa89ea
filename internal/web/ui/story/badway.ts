/** A bad way between phone and server: gone, slow, or losing every so many requests before or after the server has heard them. */
import { createServer, request, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo, Socket } from 'node:net';
import { Transform } from 'node:stream';

/** How the way is. */
export interface Way {
  /** Nobody comes through. */
  gone: boolean;
  /** Part of the requests that are lost, 0 to 1. */
  loses: number;
  /** 50 kbit/s, for each request each way. */
  slow: boolean;
}

/** A way on which all is well. */
export const goodWay: Way = { gone: false, loses: 0, slow: false };
const bytesPerSecond = 50_000 / 8;
const stride = 1024;

/** slowly lets bytes through at 50 kbit/s. */
function slowly(): Transform {
  return new Transform({
    transform(chunk: Buffer, _, done) {
      let at = 0;
      const on = () => {
        if (at >= chunk.length) return done();
        this.push(chunk.subarray(at, (at += stride)));
        setTimeout(on, (stride / bytesPerSecond) * 1000);
      };
      on();
    },
  });
}

/** BadWay passes requests on to a server. */
export class BadWay {
  way: Way = goodWay;
  lost = 0;
  private readonly sockets = new Set<Socket>();

  private constructor(
    private readonly to: URL,
    private readonly server: Server,
    private readonly random: () => number,
  ) {
    server.on('connection', (s: Socket) => {
      if (this.way.gone) return void s.destroy();
      this.sockets.add(s);
      s.on('error', () => undefined).on('close', () => this.sockets.delete(s));
    });
    server.on('request', (q: IncomingMessage, a: ServerResponse) => this.pass(q, a));
  }

  /** to listens on a port of its own; random draws from 0 to 1. */
  static async to(address: string, random: () => number): Promise<BadWay> {
    const server = createServer();
    const way = new BadWay(new URL(address), server, random);
    await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
    return way;
  }

  /** Under localhost, where browsers allow what they allow over HTTPS. */
  get address(): string {
    return `http://localhost:${(this.server.address() as AddressInfo).port}`;
  }

  /** become changes the way; one that is gone takes with it who is on it. */
  become(way: Way): void {
    this.way = way;
    if (way.gone) for (const s of this.sockets) s.destroy();
  }

  close(): void {
    this.become({ ...goodWay, gone: true });
    this.server.close();
  }

  private pass(q: IncomingMessage, a: ServerResponse): void {
    const { gone, loses, slow } = this.way;
    const how = this.random() < loses ? Math.floor(this.random() * 4) : -1;
    if (how >= 0) this.lost++;
    if (gone || how === 0) return void q.socket.destroy();
    if (how === 1) return void a.writeHead(502).end();
    const on = request({ host: '127.0.0.1', port: this.to.port, method: q.method, path: q.url, headers: q.headers }, (r) => {
      if (how >= 2) { // the server did it, and nobody learns so
        r.resume().on('end', () => q.socket.destroy());
        return;
      }
      a.writeHead(r.statusCode ?? 502, r.headers);
      (slow ? r.pipe(slowly()) : r).pipe(a);
    });
    on.on('error', () => q.socket.destroy());
    q.on('error', () => on.destroy()).on('close', () => !q.complete && on.destroy());
    if (how === 2) setTimeout(() => q.socket.destroy(), 5); // perhaps amid the body
    (slow ? q.pipe(slowly()) : q).pipe(on);
  }
}
