import type { Command } from 'commander';
import { type Role, UsageError } from '../../shared/index.ts';
import { type Demo, type DemoPhotoDeps, takeDemoPhotosIn } from '../app/store-demo.ts';
import type { Author, PhotoFiles, Store } from '../app/store-port.ts';
import type { VerdictFiles } from '../app/verdict-port.ts';
import type { App } from '../server/app.ts';
import type { ServerDeps } from '../server/deps.ts';

/** What the server's commands need from outside. */
export interface ServeCommandDeps {
  /** The server as a function from request to answer. */
  createApp: (deps: ServerDeps) => App;
  out: (line: string) => void;
  err: (line: string) => void;
  setExitCode: (code: 0 | 1 | 2 | 3) => void;
  version: string;
  defaultDataFolder: () => string;
  /** `DATABASE_URL`, when set. */
  databaseUrl: () => string | undefined;
  openKeeping: (
    folder: string,
    options: { databaseUrl?: string | undefined },
  ) => Promise<{
    store: Store;
    files: PhotoFiles;
    verdicts: VerdictFiles;
    folder: { path: string; certificate: string };
    close: () => Promise<void>;
  }>;
  /** Everything the server judges and measures with; loaded once. */
  judgement: () => Promise<
    Pick<ServerDeps, 'rubric' | 'checkAssessment' | 'checkRubric' | 'score' | 'plan' | 'parseText' | 'demos'> & {
      closeJudges: () => Promise<void>;
    }
  >;
  openPhotos: () => Promise<ServerDeps['photos'] & { close: () => Promise<void> }>;
  loadPage: () => ServerDeps['page'];
  networkAddresses: () => string[];
  networkNames: () => string[];
  certificate: (
    folder: string,
    names: readonly string[],
    addresses: readonly string[],
  ) => Promise<{ cert: string; key: string; fingerprint: string }>;
  listen: (
    fetch: (request: Request, env?: unknown) => Response | Promise<Response>,
    options: { host: string; port: number; certificate: { cert: string; key: string } | null },
  ) => Promise<{ port: number; close: () => Promise<void> }>;
  remoteAddress: ServerDeps['remoteAddress'];
  qrForTerminal: (text: string) => Promise<string>;
  qrSvg: (text: string) => Promise<string>;
  /** Somebody sits at this terminal: only then is a browser opened. */
  hasScreen: () => boolean;
  openBrowser: (address: string) => void;
  /** Resolves when the user or the system asks the program to end. */
  untilAskedToStop: () => Promise<void>;
  readBytes: (file: string) => Promise<Uint8Array>;
  writeBytes: (file: string, chunks: AsyncIterable<Uint8Array>) => Promise<void>;
}

interface ServeOptions {
  port: string;
  data?: string;
  host?: string;
  share?: boolean;
  tls?: boolean;
  open?: boolean;
  allowHost?: string[];
}

const DEFAULT_PORT = 8420;
const LOOPBACK = /^(localhost|127(\.\d+){3}|::1)$/;

/** `keepworthy serve`: the page and the interface, until stopped. */
export function serveCommand(
  program: Command,
  load: () => Promise<ServeCommandDeps>,
  say: (line: string) => void,
): void {
  program
    .command('serve')
    .description('Serve the page on this computer, or with --share on the local network')
    .option('--port <number>', 'port to listen on; 0 takes a free one', String(DEFAULT_PORT))
    .option('--data <dir>', 'folder where assessments and photos are kept')
    .option('--share', 'let other devices on the local network in, each by a one-time code')
    .option('--tls', 'use https: takes cert.pem and key.pem from the data folder, or makes a certificate')
    .option('--open', 'open the page in the browser, when started from a terminal')
    .option('--host <address>', 'address to listen on; any but this computer itself needs --share')
    .option('--allow-host <name...>', 'further names under which it may be asked, behind a proxy')
    .action(async (options: ServeOptions) => {
      // Before anything heavy is loaded: whoever starts it sees at once that it starts.
      say('Keepworthy is starting');
      await runServe(options, await load());
    });
}

/** Starts, prints where it is, and ends when asked to. */
export async function runServe(options: ServeOptions, deps: ServeCommandDeps): Promise<void> {
  const server = await startServer(options, deps);
  // Said in one piece: whoever waits for the address finds everything else beside it.
  const sharing = options.share ? await sharingLines(server, options, deps) : [];
  const lines = [`Keepworthy is at ${server.address}`, `Kept in ${server.dataFolder}. Ctrl+C stops it.`, ...sharing];
  deps.err(lines.join('\n'));
  if (options.open && deps.hasScreen()) deps.openBrowser(server.address);
  await deps.untilAskedToStop();
  await server.close();
}

export interface RunningServer {
  /** `http://localhost:8420` */
  address: string;
  port: number;
  dataFolder: string;
  fingerprint: string | null;
  issueCode: (role: Role) => Promise<{ token: string; link: string; expiresAt: Date }>;
  close: () => Promise<void>;
}

/** Opens what is kept, loads the demos on the first start, and listens. */
export async function startServer(options: ServeOptions, deps: ServeCommandDeps): Promise<RunningServer> {
  const port = Number(options.port);
  if (!Number.isInteger(port) || port < 0 || port > 65535) {
    throw new UsageError(`Cannot use --port ${options.port}: wanted a whole number from 0 to 65535`);
  }
  const host = options.host ?? (options.share ? '0.0.0.0' : '127.0.0.1');
  if (!options.share && !LOOPBACK.test(host)) {
    throw new UsageError(
      `Cannot listen on ${host}: other devices could reach it. Say --share if that is what you want`,
    );
  }
  const { keeping, judgement, photos } = await openAll(options, deps);
  let bringing: ReturnType<typeof bringDemoPhotos> | null = null;
  const closing: (() => Promise<void>)[] = [
    photos.close,
    async () => bringing?.done,
    judgement.closeJudges,
    keeping.close,
  ];
  try {
    const names = [...deps.networkNames(), ...(options.allowHost ?? []).map((name) => name.toLowerCase())];
    const certificate = options.tls
      ? await deps.certificate(
          keeping.folder.certificate,
          ['localhost', ...names],
          ['127.0.0.1', ...deps.networkAddresses()],
        )
      : null;
    const scheme = certificate ? 'https' : 'http';
    const bound = { port };
    const addresses = () =>
      options.share ? networkOf(host, deps).map((address) => `${scheme}://${address}:${bound.port}`) : [];
    const app = deps.createApp({
      ...judgement,
      version: deps.version,
      store: keeping.store,
      files: keeping.files,
      verdicts: keeping.verdicts,
      photos,
      page: deps.loadPage(),
      sharing: {
        isShared: options.share === true,
        addresses,
        hosts: () => new Set(options.share ? [...networkOf(host, deps), ...names] : (options.allowHost ?? [])),
        isSecure: certificate !== null,
        fingerprint: certificate?.fingerprint ?? null,
        qr: deps.qrSvg,
      },
      remoteAddress: deps.remoteAddress,
      now: () => new Date(),
      log: (message, error) =>
        deps.err(`${message}: ${error instanceof Error ? (error.stack ?? error.message) : String(error)}`),
    });
    await loadDemosOnce(keeping.store, judgement.demos);
    const listening = await deps.listen(app.fetch, { host, port, certificate });
    bound.port = listening.port;
    app.begin();
    closing.unshift(async () => {
      app.close();
      await listening.close();
    });
    bringing = bringDemoPhotos(judgement.demos, { ...keeping, photos, now: () => new Date() }, deps.err);
    closing.unshift(async () => bringing?.leave());
    return {
      address: `${scheme}://${LOOPBACK.test(host) && host !== '::1' ? host.replace('127.0.0.1', 'localhost') : 'localhost'}:${listening.port}`,
      port: listening.port,
      dataFolder: keeping.folder.path,
      fingerprint: certificate?.fingerprint ?? null,
      issueCode: app.issueCode,
      close: () => closeAll(closing),
    };
  } catch (error) {
    await closeAll(closing);
    throw error;
  }
}

/** The author of what the program does by itself. */
export const OWNER: Author = { name: 'owner', device: 'here' };

/** Opens what is kept and what judges and measures, all at once; when one of them cannot be had, none stays open. */
async function openAll(options: ServeOptions, deps: ServeCommandDeps) {
  const opening = [
    deps.openKeeping(options.data ?? deps.defaultDataFolder(), { databaseUrl: deps.databaseUrl() }),
    deps.judgement(),
    deps.openPhotos(),
  ] as const;
  const [kept, judged, measured] = await Promise.allSettled(opening);
  if (kept.status === 'fulfilled' && judged.status === 'fulfilled' && measured.status === 'fulfilled') {
    return { keeping: kept.value, judgement: judged.value, photos: measured.value };
  }
  if (measured.status === 'fulfilled') await measured.value.close();
  if (judged.status === 'fulfilled') await judged.value.closeJudges();
  if (kept.status === 'fulfilled') await kept.value.close();
  throw [kept, judged, measured].find((settled) => settled.status === 'rejected')?.reason;
}

async function loadDemosOnce(store: Store, demos: readonly Demo[]): Promise<void> {
  if ((await store.setting('demos-loaded')) !== undefined) return;
  for (const { id, assessment } of demos) {
    await store.create({ assessment: await assessment(), rubricVersion: null, demo: id, photos: [], author: OWNER });
  }
  await store.setSetting('demos-loaded', 'yes');
}

/** Brings the demos' photos in while the server answers already: measuring takes longer than a start may. */
function bringDemoPhotos(demos: readonly Demo[], deps: DemoPhotoDeps, err: (line: string) => void) {
  let isLeft = false;
  const bring = async () => {
    for (const { id, demo } of await deps.store.list(false)) {
      const photo = demos.find((other) => other.id === demo)?.photo;
      if (photo) await takeDemoPhotosIn(id, photo, deps, () => isLeft);
    }
  };
  const done = bring().catch((error: unknown) => {
    if (!isLeft) err(`Cannot bring the demos' photos in: ${error instanceof Error ? error.message : String(error)}`);
  });
  return {
    done,
    leave: () => {
      isLeft = true;
    },
  };
}

function networkOf(host: string, deps: ServeCommandDeps): string[] {
  return host === '0.0.0.0' || host === '::' ? deps.networkAddresses() : [host];
}

/** What other devices on the network have to do. */
async function sharingLines(server: RunningServer, options: ServeOptions, deps: ServeCommandDeps): Promise<string[]> {
  const { link, token, expiresAt } = await server.issueCode('grade');
  const [address] = link.split('/pair#');
  return [
    '',
    `Other devices on this network: ${address}`,
    `Pair one with this link, within five minutes (until ${expiresAt.toTimeString().slice(0, 5)}), once:`,
    link,
    `or open ${address}/pair and type ${token}`,
    await deps.qrForTerminal(link),
    ...(server.fingerprint
      ? [
          'The device will ask whether to trust this computer. The SHA-256 fingerprint it should show:',
          server.fingerprint,
        ]
      : [
          'This is plain http: anyone on this network can read and copy what passes. Use --tls where you do not know the network.',
        ]),
    ...(options.host === undefined ? ['The page under Share makes further codes and shuts devices out.'] : []),
  ];
}

async function closeAll(closing: readonly (() => Promise<void>)[]): Promise<void> {
  for (const close of closing) await close();
}
