import type { Device, Me } from '../../../shared/index.ts';
import type { DeviceRow } from '../../app/store-port.ts';
import { ProblemError } from '../../app/store-problem.ts';
import type { ServerDeps } from '../deps.ts';
import type { EventDesk } from '../events.ts';
import { authorOf, type Caller, type sessions } from '../guard.ts';
import { pairingDesk } from '../pairing.ts';
import type { Handlers } from '../routes.ts';

type Names = 'me' | 'rename' | 'events' | 'newPairing' | 'pair' | 'listDevices' | 'changeDevice' | 'revokeDevice';

export function sharingRoutes(
  deps: ServerDeps,
  session: ReturnType<typeof sessions>,
  events: EventDesk,
): Pick<Handlers, Names> & {
  issue: (role: Device['role']) => Promise<{ token: string; link: string; expiresAt: Date }>;
} {
  const { store, sharing } = deps;
  const desk = pairingDesk(() => deps.now().getTime());

  const issue = async (role: Device['role']) => {
    if (!sharing.isShared) {
      throw new ProblemError(
        'conflict',
        'Nothing is shared: start with --share, so that other devices can reach this computer',
      );
    }
    const address = sharing.addresses()[0];
    if (address === undefined) throw new ProblemError('conflict', 'This computer is on no network now');
    const { token, expiresAt } = desk.issue(role);
    // Behind the # it is never sent, so it stands in no log.
    return { token, expiresAt, link: `${address}/pair#${token}` };
  };

  const meOf = async (caller: Caller): Promise<Me> => {
    const isHere = caller.role === 'own' && caller.device === null;
    const transport = sharing.isSecure ? 'https' : isHere ? 'loopback' : 'http';
    return {
      role: caller.role,
      device: caller.device?.id ?? null,
      name: caller.role === null ? '' : (await authorOf(caller, store)).name,
      transport,
      reloadsOffline: transport !== 'http',
      words: wordsOf(transport, sharing.isShared),
      shared: sharing.isShared,
      addresses: caller.role === 'own' ? sharing.addresses() : [],
      fingerprint: sharing.fingerprint,
      version: deps.version,
      rubricVersion: deps.rubric.version,
    };
  };

  const deviceOf = (row: DeviceRow, caller: Caller): Device => ({
    ...row,
    here: events.here().has(row.id),
    self: row.id === caller.device?.id,
  });

  return {
    issue,
    me: ({ c }) => meOf(c.get('caller')),

    async rename({ c, body }) {
      const caller = c.get('caller');
      if (!caller.device) await store.setSetting('owner-name', body.name);
      else {
        const device = await store.updateDevice(caller.device.id, { name: body.name });
        return meOf({ ...caller, device: device ?? null });
      }
      return meOf(caller);
    },

    events: ({ c }) => events.stream(c, c.get('caller').device?.id ?? 'here'),

    async newPairing({ body }) {
      const { token, link, expiresAt } = await issue(body.role);
      return { token, role: body.role, link, qr: await sharing.qr(link), expiresAt: expiresAt.toISOString() };
    },

    async pair({ c, body }) {
      const role = desk.spend(body.token, deps.remoteAddress(c) ?? 'here');
      const device = await session.open(c, body.name, role);
      return meOf({ role, device, isLoopback: false });
    },

    listDevices: async ({ c }) => (await store.devices()).map((row) => deviceOf(row, c.get('caller'))),

    async changeDevice({ c, params, body }) {
      const row = await store.updateDevice(params.device, { role: body.role });
      if (!row) throw new ProblemError('not-found', 'There is no such device');
      return deviceOf(row, c.get('caller'));
    },

    async revokeDevice({ params }) {
      if (!(await store.removeDevice(params.device))) throw new ProblemError('not-found', 'There is no such device');
      return null;
    },
  };
}

function wordsOf(transport: Me['transport'], isShared: boolean): string[] {
  if (transport === 'https') {
    return [
      'This is https: nobody in between can read what passes.',
      'A device that trusts the certificate reloads the page with the network down as well.',
    ];
  }
  const plain = 'Anyone on this network can read and copy what passes, photos and answers too.';
  if (transport === 'loopback') {
    return isShared
      ? ['This page never leaves this computer; other devices use plain http.', plain]
      : ['This page never leaves this computer: nothing is shared.'];
  }
  return [
    `This is plain http. ${plain}`,
    'An open page keeps working when the network drops, and answers wait on this device; a page reloaded while it is down is gone until the network comes back. Started with --tls it reloads as well.',
  ];
}
