import type { Stage } from '../../../shared/index.ts';
import { words } from '../words.ts';
import { newId } from './outbox.ts';
import { outbox } from './use-outbox.ts';

interface Taken {
  assessment: string;
  file: File;
  component?: string;
  check?: string;
  stage?: Stage;
}

/** Keeps a photo for sending. */
export function keepPhoto({ assessment, file, component, check, stage }: Taken): Promise<void> {
  return outbox.put({
    id: newId(),
    assessment,
    at: Date.now(),
    held: false,
    what: {
      kind: 'photo',
      file,
      name: file.name,
      ...(component ? { component } : {}),
      ...(check ? { check } : {}),
      ...(stage ? { stage } : {}),
    },
  });
}

/**
 * Keeps a photo for sending, and says whether it is fit to measure.
 *
 * @returns One sentence for the person who took it
 */
export async function takePhoto(taken: Taken): Promise<string> {
  const { file } = taken;
  await keepPhoto(taken);
  try {
    const { quickMeasure, readPicture } = await import('./picture.ts');
    const { fit } = quickMeasure(await readPicture(file));
    const [problem] = fit.problems;
    if (!problem) return words.photos.fitOk;
    return `${words.photos.fitBad}. ${problem.what}. ${problem.advice}.`;
  } catch {
    return words.round.photoTaken(file.name);
  }
}
