#!/usr/bin/env node
// The package's command: builds first when the source is newer, then runs the bundle.
process.argv.splice(2, 0, 'keepworthy');
await import('./ready.mjs');
