// A process of its own: keeps answers as fast as it can and says each id only once it is kept.
import { writeSync } from 'node:fs';
import { openKeeping } from '../../../src/adapters/store/index.ts';
import { answer, HERE, keeping, smallAssessment } from './small-assessment.ts';

const [folder, round] = process.argv.slice(2);
const { store } = await openKeeping(folder!);
await store.create({ assessment: smallAssessment('kill'), rubricVersion: null, demo: null, photos: [], author: HERE });
writeSync(1, 'ready\n');
for (let batch = 0; ; batch++) {
  const ids = Array.from({ length: 5 }, (_, i) => `round-${round}-${batch}-${i}`);
  await Promise.all(
    ids.map(async (id) => {
      await store.change('kill', keeping(answer(id)));
      writeSync(1, `${id}\n`);
    }),
  );
}
