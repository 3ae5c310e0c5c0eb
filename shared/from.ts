import { z } from 'zod';

/**
 * Where a number or a rule comes from: `SOURCE-ID clause` for an entry of `sources.yaml`
 * (`dvsa-mot 1.1.11`), or one of `common-practice`, `from-memory`, `own-judgement`, each with words after it if wanted.
 */
export const From = z.string().min(3).max(300);

/** The three ways in which a number can stand without a published source. */
export const BASES = ['common-practice', 'from-memory', 'own-judgement'] as const;
