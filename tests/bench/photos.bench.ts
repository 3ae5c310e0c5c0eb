import { spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { mkdir, mkdtemp, rm, symlink } from 'node:fs/promises';
import { availableParallelism, cpus, tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import * as ort from 'onnxruntime-node';
import sharp from 'sharp';
import { loadImagingSettings, openPhotoPool, type PhotoPool } from '../../src/adapters/photos/index.ts';
import { rustyPanel } from '../make-image.ts';
import { type BenchLine, median } from './bench-line.ts';

/**
 * Measure the speed and memory of the photo pipeline.
 *
 * @param root Folder of the repository
 * @returns One line a figure
 */
export async function photosBench(root: string): Promise<BenchLine[]> {
  const settings = await loadImagingSettings(join(root, 'rubric/imaging.yaml'));
  const modelFolder = join(root, 'models/rust-segmenter');
  const folder = await mkdtemp(join(tmpdir(), 'keepworthy-bench-'));
  try {
    const large = await drawPhoto(folder, 'large.jpg', 3000, 4000, 1);
    const files: string[] = [];
    for (let n = 0; n < 20; n++) files.push(await drawPhoto(folder, `${n}.jpg`, 1500, 2000, n));
    const open = (parallel: number, threads: number) => openPhotoPool({ settings, modelFolder, parallel, threads });
    return [
      await onePhoto(large, open(1, 1), modelFolder, settings.analysis.longSidePx),
      ...(await folderOf200(files, open)),
      ...(await memoryOf200(root, files, join(folder, 'many'))),
    ];
  } finally {
    await rm(folder, { recursive: true });
  }
}

/** Invented photo: a rusted disc on grey paint with camera noise, enlarged. */
async function drawPhoto(folder: string, name: string, height: number, width: number, seed: number): Promise<string> {
  const file = join(folder, name);
  const image = rustyPanel(750, 1000, 100 + 10 * seed);
  await sharp(Buffer.from(image.data), { raw: { height: 750, width: 1000, channels: 3 } })
    .resize(width, height, { fit: 'fill' })
    .jpeg({ quality: 90 })
    .toFile(file);
  return file;
}

async function onePhoto(file: string, pool: PhotoPool, modelFolder: string, longSide: number): Promise<BenchLine> {
  const session = await ort.InferenceSession.create(join(modelFolder, 'model.onnx'), {
    intraOpNumThreads: 1,
    interOpNumThreads: 1,
    enableMemPattern: false,
  });
  const height = (longSide * 3) / 4;
  const tensor = new ort.Tensor('float32', new Float32Array(3 * height * longSide), [1, 3, height, longSide]);
  sharp.concurrency(1);
  sharp.cache(false);
  const bare = async () => {
    const start = performance.now();
    await sharp(file).autoOrient().resize(longSide, height, { fit: 'fill' }).raw().toBuffer();
    await session.run({ [session.inputNames[0]!]: tensor });
    return performance.now() - start;
  };
  const ours = async () => {
    const start = performance.now();
    await pool.measure({ path: file });
    return performance.now() - start;
  };
  try {
    // The two take turns, so that a busy machine slows both.
    const ratios: number[] = [];
    for (let n = 0; n < 14; n++) {
      const [a, b] = [await ours(), await bare()];
      if (n >= 3) ratios.push(a / b);
    }
    return line('one 12 MP photo, times the bare decode and run', median(ratios), 1.25, 'at most');
  } finally {
    await pool.close();
    await session.release();
  }
}

async function folderOf200(
  files: readonly string[],
  open: (parallel: number, threads: number) => PhotoPool,
): Promise<BenchLine[]> {
  const cores = availableParallelism();
  const single = open(1, 1);
  const pool = open(cores, 1);
  await measureAll(single, files, 4);
  await measureAll(pool, files, 4 * cores);
  const taken = takenByOthers();
  const watch = watchLoop();
  // The two take turns, so that what else runs on the machine slows both.
  const ratios: number[] = [];
  for (let turn = 0; turn < TURNS; turn++) {
    const one = await measureAll(single, files, FOLDER / TURNS / cores);
    ratios.push((await measureAll(pool, files, FOLDER / TURNS)) / one);
  }
  const { ownMs, waitedMs } = watch.stop();
  const others = taken();
  await single.close();
  await pool.close();
  return [
    {
      ...line(`folder on ${cores} cores, times the rate of one`, median(ratios), 0.9 * cores, 'at least'),
      beside: `${others.toFixed(2)} of the ${cores} cores went to other programs`,
    },
    {
      ...line('longest time the event loop was held by work of its own, ms', ownMs, 20, 'at most'),
      beside: `the longest wait, other programs included, was ${waitedMs.toFixed(0)} ms`,
    },
  ];

  /** Cores that neither idled nor worked for this program and its photo processes, on the average since the call. */
  function takenByOthers(): () => number {
    const used = () => {
      const times = cpus().map(({ times }) => times);
      const busyMs = times.reduce((sum, { user, nice, sys, irq }) => sum + user + nice + sys + irq, 0);
      const { user, system } = process.cpuUsage();
      const ids = [...single.processIds(), ...pool.processIds()];
      return {
        busyMs,
        ownMs: (user + system) / 1000 + ids.reduce((sum, id) => sum + processorMs(id), 0),
        at: performance.now(),
      };
    };
    const before = used();
    return () => {
      const after = used();
      const busy = (after.busyMs - before.busyMs - (after.ownMs - before.ownMs)) / (after.at - before.at);
      return Math.max(0, busy);
    };
  }
}

const FOLDER = 200;
const TURNS = 5;

/** Processor time of a process so far, ms. Linux only: clock ticks are a hundredth of a second there. */
function processorMs(pid: number): number {
  const fields = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1]!.split(' ');
  return (Number(fields[11]) + Number(fields[12])) * 10;
}

/** What the command line holds after 20 and after 200 photos of a folder; this program's own packages are left out. */
async function memoryOf200(root: string, files: readonly string[], folder: string): Promise<BenchLine[]> {
  await mkdir(folder);
  for (let n = 0; n < 204; n++) await symlink(files[n % files.length]!, join(folder, `${n}.jpg`));
  const program = spawn(process.execPath, [join(root, '.build/keepworthy.mjs'), 'photo', folder, '--json'], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const held: number[] = [];
  let lines = 0;
  for await (const _ of createInterface({ input: program.stdout })) {
    lines++;
    if (lines === 20 || lines === 200) held.push(memoryOf(program.pid!));
  }
  const [early = Number.NaN, late = Number.NaN] = held;
  return [
    line('memory after photo 200 above that after photo 20, MB', late - early, 30, 'at most'),
    line('memory after photo 200, MB', late, 400, 'at most'),
  ];
}

/**
 * Watches how long a timer of a millisecond waits. A wait in which this process used next to no processor time is another
 * program's doing, so the least of the two counts as its own.
 */
function watchLoop(): { stop: () => { ownMs: number; waitedMs: number } } {
  let [ownMs, waitedMs, at] = [0, 0, performance.now()];
  let used = process.cpuUsage();
  let timer: NodeJS.Timeout;
  const tick = () => {
    const now = performance.now();
    const { user, system } = process.cpuUsage(used);
    const waited = Math.max(0, now - at - 1);
    waitedMs = Math.max(waitedMs, waited);
    ownMs = Math.max(ownMs, Math.min(waited, (user + system) / 1000));
    at = now;
    used = process.cpuUsage();
    timer = setTimeout(tick, 1);
  };
  timer = setTimeout(tick, 1);
  return {
    stop: () => {
      clearTimeout(timer);
      return { ownMs, waitedMs };
    },
  };
}

/** Photos a second. */
async function measureAll(pool: PhotoPool, files: readonly string[], count: number): Promise<number> {
  let next = 0;
  const start = performance.now();
  const lane = async () => {
    while (next < count) await pool.measure({ path: files[next++ % files.length]! });
  };
  await Promise.all(Array.from({ length: pool.parallel }, lane));
  return (1000 * count) / (performance.now() - start);
}

/** Memory of a process and its children, shared pages counted once, MB. Linux only. */
function memoryOf(pid: number): number {
  const children = readFileSync(`/proc/${pid}/task/${pid}/children`, 'utf8').trim().split(/\s+/).filter(Boolean);
  const own = (id: number | string) =>
    Number(/^Pss:\s+(\d+)/m.exec(readFileSync(`/proc/${id}/smaps_rollup`, 'utf8'))?.[1] ?? 0) / 1000;
  return children.reduce((sum, id) => sum + own(id), own(pid));
}

function line(name: string, value: number, limit: number, way: 'at most' | 'at least'): BenchLine {
  return { name, value, limit, isMet: way === 'at most' ? value <= limit : value >= limit };
}
