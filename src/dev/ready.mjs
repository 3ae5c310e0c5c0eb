// One door for every script of package.json: installs what is missing, builds what changed, then does the work.
// Plain Node without packages, since it must run before anything is installed.

const WANTED_NODE = [20, 19];

const [major, minor] = process.versions.node.split('.').map(Number);
if (major < WANTED_NODE[0] || (major === WANTED_NODE[0] && minor < WANTED_NODE[1])) {
  process.stderr.write(
    `Keepworthy needs Node ${WANTED_NODE.join('.')} or newer, found ${process.versions.node} (${process.execPath})\n`,
  );
  process.exit(3);
}

/** What `npm start` does. */
const START = ['serve', '--open'];

const [command = '', ...rest] = process.argv.slice(2);
const { installIfNeeded } = await import('./install.mjs');

switch (command) {
  case 'start':
    await keepworthy([...START, ...rest]);
    break;
  case 'keepworthy':
    leaveForCallersFolder();
    await keepworthy(rest);
    break;
  case 'test':
  case 'check': {
    installIfNeeded();
    const { build } = await import('./build.mjs');
    await build();
    const { runGates } = await import('./gates.mjs');
    process.exitCode = runGates(command, rest);
    break;
  }
  case 'bench':
  case 'eval-photos': {
    installIfNeeded();
    const { build, buildScript } = await import('./build.mjs');
    await build();
    leaveForCallersFolder();
    await run(await buildScript(command), rest);
    break;
  }
  default:
    process.stderr.write(
      'Usage: node src/dev/ready.mjs start | test | check | keepworthy ARGS | bench | eval-photos\n',
    );
    process.exitCode = 2;
}

async function keepworthy(args) {
  installIfNeeded();
  const { build } = await import('./build.mjs');
  await run(await build(), args);
}

// In this process, not in a child: signals, terminal and exit code stay those of the real program.
async function run(bundle, args) {
  process.argv.splice(1, process.argv.length, bundle.pathname, ...args);
  await import(bundle.href);
}

// npm runs scripts in the package's folder; file names on the command line mean the caller's. A program that is
// itself started from another npm script keeps the folder it was given.
function leaveForCallersFolder() {
  const { npm_lifecycle_event: script, INIT_CWD: folder } = process.env;
  if (folder && script?.replace(':', '-') === command) process.chdir(folder);
}
