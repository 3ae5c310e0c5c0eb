import type { IncomingMessage } from 'node:http';
import { createServer as createHttpsServer } from 'node:https';
import { serve } from '@hono/node-server';
import type { Context } from 'hono';
import { InputError, StoreError } from '../../../shared/index.ts';

export interface Listening {
  port: number;
  /** Takes no more requests, gives those under way a moment, then ends. */
  close(): Promise<void>;
}

const CLOSE_MS = 3000;

/**
 * Listens for HTTP, or HTTPS with a certificate.
 *
 * @throws {StoreError} `in-use` when the port is taken; {InputError} when the address is not one of this computer
 */
export function listen(
  fetch: (request: Request, env?: unknown) => Response | Promise<Response>,
  options: { host: string; port: number; certificate: { cert: string; key: string } | null },
): Promise<Listening> {
  const { host, port, certificate } = options;
  return new Promise((resolve, reject) => {
    const server = serve({
      fetch: fetch as Parameters<typeof serve>[0]['fetch'],
      hostname: host,
      port,
      ...(certificate ? { createServer: createHttpsServer, serverOptions: certificate } : {}),
    } as Parameters<typeof serve>[0]);
    server.once('error', (error: NodeJS.ErrnoException) => {
      if (error.code === 'EADDRINUSE') {
        reject(
          new StoreError('in-use', `Cannot listen on port ${port}: another program has it. Name another with --port`, {
            cause: error,
          }),
        );
      } else if (error.code === 'EADDRNOTAVAIL' || error.code === 'ENOTFOUND') {
        reject(new InputError([{ file: '', path: '--host', wanted: 'an address of this computer', found: host }]));
      } else if (error.code === 'EACCES') {
        reject(
          new StoreError(
            'read-only',
            `Cannot listen on port ${port}: it needs more rights. Name one above 1023 with --port`,
            { cause: error },
          ),
        );
      } else reject(error);
    });
    server.once('listening', () => {
      const address = server.address();
      resolve({
        port: typeof address === 'object' && address ? address.port : port,
        close: () =>
          new Promise<void>((done) => {
            server.close(() => done());
            const force = setTimeout(() => {
              if ('closeAllConnections' in server) server.closeAllConnections();
            }, CLOSE_MS);
            force.unref();
            if ('closeIdleConnections' in server) server.closeIdleConnections();
          }),
      });
    });
  });
}

/** Network address of whoever asks; null for a request made inside this process. */
export function remoteAddress(c: Context): string | null {
  const incoming = (c.env as { incoming?: IncomingMessage } | undefined)?.incoming;
  return incoming ? (incoming.socket.remoteAddress ?? 'unknown') : null;
}
