import type { WantedFinish } from '../../../shared/index.ts';
import { words } from '../words.ts';

/** Wanted finishes with their words, plainest first. */
export const FINISH_CHOICES = Object.entries(words.finish) as [WantedFinish, string][];
