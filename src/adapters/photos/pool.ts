import { type ChildProcess, fork } from 'node:child_process';
import { existsSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { env } from 'node:process';
import { fileURLToPath } from 'node:url';
import type { ImagingSettings } from '../../../shared/imaging-settings.ts';
import type { PhotoRequest } from '../../../shared/photo.ts';
import type { CleanPhoto } from './clean-photo.ts';
import type { DecodedPhoto } from './decode.ts';
import type { Job, JobResult, RawMeasurement, Reply, WorkerSettings } from './messages.ts';
import { PhotoError } from './photo-error.ts';
import type { PhotoSource } from './read-photo.ts';

/** Processes that decode and measure photos. */
export interface PhotoPool {
  /** How many photos are measured at the same time. */
  readonly parallel: number;
  /** @throws {PhotoError} When the photo, or what came with it, cannot be used */
  measure(source: PhotoSource, options?: MeasureOptions): Promise<RawMeasurement>;
  /** Take a photo in without its place; see `cleanPhoto`. */
  clean(source: PhotoSource): Promise<CleanPhoto>;
  /** Process numbers now alive, for watching their memory. */
  processIds(): number[];
  /** End all processes; jobs under way fail. */
  close(): Promise<void>;
}

export interface MeasureOptions {
  readonly request?: PhotoRequest;
  /** Where to write the mask. */
  readonly maskFile?: string | undefined;
  /** Give the mask back as a PNG, its longer side at most so many pixels. */
  readonly maskLongSidePx?: number;
  /** Give picture, log-odds and features back too. */
  readonly wantsMap?: boolean;
}

export interface PoolOptions {
  readonly settings: ImagingSettings;
  /** Folder with `model.onnx` and `card.yaml`. */
  readonly modelFolder: string;
  /** Photos at the same time; the number of cores unless given. */
  readonly parallel?: number;
  /** Threads of one run of the network; the cores shared out among the photos unless given. */
  readonly threads?: number;
}

/**
 * Pictures come and go in blocks of megabytes. Left to itself glibc keeps them in its heap, which then grows for as long as
 * photos come; these make it hand each block back. Other systems take no notice.
 */
const STEADY_MEMORY = { MALLOC_ARENA_MAX: '1', MALLOC_MMAP_THRESHOLD_: '262144', MALLOC_TRIM_THRESHOLD_: '262144' };

/** A process is replaced when it has grown beyond this. */
const RSS_BYTES_TO = 600_000_000;
const HEAP_MEGABYTES_TO = 512;
const HEIC_IDLE_MS = 2000;

/**
 * The photo process's program: the bundle beside this program's own, else the source through tsx.
 *
 * @returns File and the arguments that Node needs to run it
 */
function workerProgram(): { file: string; execArgv: string[] } {
  const heap = `--max-old-space-size=${HEAP_MEGABYTES_TO}`;
  const built = fileURLToPath(new URL('./photo-worker.mjs', import.meta.url));
  if (existsSync(built)) return { file: built, execArgv: [heap] };
  return { file: fileURLToPath(new URL('./worker.ts', import.meta.url)), execArgv: [heap, '--import', 'tsx'] };
}

/**
 * Start a pool; processes are started when first needed.
 *
 * @param options Limits, the model's folder, and how many photos at once
 */
export function openPhotoPool(options: PoolOptions): PhotoPool {
  const parallel = options.parallel ?? availableParallelism();
  const threads = options.threads ?? Math.max(1, Math.floor(availableParallelism() / parallel));
  const shared = { settings: options.settings, modelFolder: options.modelFolder };
  const { secondsTo, heicSecondsTo } = options.settings.intake;
  const main = new Lane({ ...shared, threads, isHeicOnly: false }, parallel, secondsTo * 1000);
  // One at a time: the decoder holds all pixels of a photo at once.
  const heic = new Lane({ ...shared, threads: 1, isHeicOnly: true }, 1, heicSecondsTo * 1000, HEIC_IDLE_MS);
  return {
    parallel,
    async measure(source, { request = {}, ...wanted } = {}) {
      const job = { kind: 'measure', request, ...wanted } as const;
      try {
        return await main.run({ ...job, source });
      } catch (error) {
        if (!(error instanceof HeicWanted)) throw error;
      }
      const start = performance.now();
      const decoded: DecodedPhoto = await heic.run({ kind: 'decode-heic', source });
      return main.run({ ...job, source: { decoded, spentMs: performance.now() - start } });
    },
    async clean(source) {
      try {
        return await main.run({ kind: 'clean', source });
      } catch (error) {
        if (!(error instanceof HeicWanted)) throw error;
      }
      return heic.run({ kind: 'clean', source });
    },
    processIds: () => [...main.processIds(), ...heic.processIds()],
    async close() {
      await Promise.all([main.close(), heic.close()]);
    },
  };
}

class HeicWanted extends Error {}

interface Waiting {
  readonly job: Job;
  readonly resolve: (result: unknown) => void;
  readonly reject: (error: Error) => void;
}

/** Some processes that take jobs from one queue, each one job at a time. */
class Lane {
  private readonly waiting: Waiting[] = [];
  private readonly idle: Member[] = [];
  private readonly alive = new Set<Member>();
  private isClosed = false;

  constructor(
    private readonly worker: WorkerSettings,
    private readonly size: number,
    private readonly msTo: number,
    private readonly idleMs = Number.POSITIVE_INFINITY,
  ) {}

  run<J extends Job>(job: J): Promise<JobResult<J>> {
    if (this.isClosed) return Promise.reject(new PhotoError('crashed', 'Cannot measure: closed'));
    return new Promise<JobResult<J>>((resolve, reject) => {
      this.waiting.push({ job, resolve: resolve as (result: unknown) => void, reject });
      this.next();
    });
  }

  processIds(): number[] {
    return [...this.alive].map((member) => member.process.pid ?? 0);
  }

  async close(): Promise<void> {
    this.isClosed = true;
    for (const { reject } of this.waiting.splice(0)) reject(new PhotoError('crashed', 'Cannot measure: closed'));
    await Promise.all([...this.alive].map((member) => member.end()));
  }

  private next(): void {
    if (this.waiting.length === 0 || this.isClosed) return;
    let member = this.idle.pop();
    if (member === undefined && this.alive.size < this.size) {
      member = new Member(this.worker);
      this.alive.add(member);
      const born = member;
      born.process.once('exit', () => {
        this.alive.delete(born);
        const at = this.idle.indexOf(born);
        if (at >= 0) this.idle.splice(at, 1);
        this.next();
      });
    }
    if (member === undefined) return;
    const { job, resolve, reject } = this.waiting.shift()!;
    const used = member;
    used.stopIdling();
    used.run(job, this.msTo).then(
      (result) => {
        resolve(result);
        this.giveBack(used);
      },
      (error: Error) => {
        reject(error);
        this.giveBack(used);
      },
    );
  }

  private giveBack(member: Member): void {
    if (!this.alive.has(member) || member.isEnding) return;
    if (member.rssBytes > RSS_BYTES_TO && this.waiting.length === 0) {
      void member.end();
      return;
    }
    this.idle.push(member);
    if (Number.isFinite(this.idleMs)) member.endWhenIdle(this.idleMs);
    this.next();
  }
}

/** One process and the job it is at. */
class Member {
  readonly process: ChildProcess;
  rssBytes = 0;
  isEnding = false;
  private id = 0;
  private idleTimer: NodeJS.Timeout | undefined;

  constructor(worker: WorkerSettings) {
    const { file, execArgv } = workerProgram();
    this.process = fork(file, [], {
      execArgv,
      serialization: 'advanced',
      stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
      env: { ...env, ...STEADY_MEMORY },
      // Ctrl+C in a terminal is for this process alone; the other ends with it, by the channel between the two.
      detached: true,
    });
    this.process.on('error', () => undefined);
    this.process.send({ start: worker });
    // An idle process must not keep the program alive.
    this.process.unref();
    (this.process.channel as { unref?: () => void } | null | undefined)?.unref?.();
  }

  run(job: Job, msTo: number): Promise<unknown> {
    const id = ++this.id;
    const channel = this.process.channel as { ref?: () => void; unref?: () => void } | null | undefined;
    channel?.ref?.();
    return new Promise<unknown>((resolve, reject) => {
      const settle = (act: () => void) => {
        clearTimeout(timer);
        this.process.off('message', onReply);
        this.process.off('exit', onExit);
        channel?.unref?.();
        act();
      };
      const onReply = (reply: Reply) => {
        if (reply.id !== id) return;
        settle(() => {
          if (reply.ok) {
            this.rssBytes = reply.rssBytes;
            resolve(reply.result);
          } else if (reply.code === 'needs-heic') reject(new HeicWanted());
          else reject(new PhotoError(reply.code, reply.message));
        });
      };
      const onExit = (code: number | null, signal: string | null) =>
        settle(() =>
          reject(
            new PhotoError('crashed', `Cannot measure: the decoder stopped (${signal ?? `code ${code}`}) on this file`),
          ),
        );
      const timer = setTimeout(() => {
        settle(() => reject(new PhotoError('too-slow', `Cannot measure: wanted at most ${msTo / 1000} seconds`)));
        void this.end();
      }, msTo);
      this.process.on('message', onReply);
      this.process.on('exit', onExit);
      this.process.send({ id, job });
    });
  }

  endWhenIdle(ms: number): void {
    this.idleTimer = setTimeout(() => void this.end(), ms);
    this.idleTimer.unref();
  }

  stopIdling(): void {
    clearTimeout(this.idleTimer);
  }

  end(): Promise<void> {
    this.isEnding = true;
    this.stopIdling();
    if (this.process.exitCode !== null || this.process.signalCode !== null) return Promise.resolve();
    return new Promise((resolve) => {
      // Whoever waits for the end must not find the program gone before it.
      this.process.ref();
      this.process.once('exit', () => resolve());
      this.process.kill('SIGKILL');
    });
  }
}
