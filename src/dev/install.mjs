import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

export const ROOT = new URL('../../', import.meta.url);

const MODULES = new URL('node_modules/', ROOT);
const STAMP = new URL('.keepworthy-stamp', MODULES);

/** Installs the packages of the lock file, unless they are there already. Exits with 3 when npm cannot. */
export function installIfNeeded() {
  const lockText = readFileSync(new URL('package-lock.json', ROOT), 'utf8');
  const wanted = createHash('sha256')
    .update(`${lockText}\0${process.platform}-${process.arch}-${process.versions.modules}`)
    .digest('hex');
  if (readIfThere(STAMP) === wanted) return;
  if (!installedByHand(lockText)) {
    process.stderr.write('Installing packages with npm ci (only when the lock file changed)\n');
    const result = npm(['ci', '--no-audit', '--no-fund', '--loglevel=error', '--no-progress']);
    if (result.status !== 0) {
      process.stderr.write(`${result.stdout ?? ''}${result.stderr ?? ''}`);
      process.stderr.write(
        `Cannot install the packages: npm ci ended with ${result.status ?? result.error?.message}. See the lines above.\n`,
      );
      process.exit(3);
    }
  }
  writeFileSync(STAMP, wanted);
}

// Someone ran npm install themselves: npm's own record then agrees with the lock file.
function installedByHand(lockText) {
  const recordText = readIfThere(new URL('.package-lock.json', MODULES));
  if (recordText === null) return false;
  const record = JSON.parse(recordText).packages;
  return Object.entries(JSON.parse(lockText).packages).every(
    ([path, entry]) =>
      path === '' ||
      entry.optional ||
      (record[path]?.version === entry.version && existsSync(new URL(`${path}/`, ROOT))),
  );
}

function npm(args) {
  // The GPU half of the inference library comes from elsewhere and is not used; without this its installer would fetch it.
  const env = { ...process.env, ONNXRUNTIME_NODE_INSTALL: 'skip' };
  const options = { cwd: fileURLToPath(ROOT), env, encoding: 'utf8' };
  const own = process.env.npm_execpath;
  if (own?.endsWith('npm-cli.js')) return spawnSync(process.execPath, [own, ...args], options);
  return spawnSync('npm', args, { ...options, shell: process.platform === 'win32' });
}

function readIfThere(url) {
  return existsSync(url) ? readFileSync(url, 'utf8') : null;
}
