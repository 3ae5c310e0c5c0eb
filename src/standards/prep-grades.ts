/** Rust grades of bare steel before preparation. */
export type BareRustGrade = 'A' | 'B' | 'C' | 'D';

/** Preparation grades by hand or power tool, blast and flame. */
export type PrepGrade = 'St 2' | 'St 3' | 'Sa 1' | 'Sa 2' | 'Sa 2 1/2' | 'Sa 3' | 'Fl';

/** What each rust grade looks like, in our own words; record the worst present. Source: ISO 8501-1 */
export const BARE_RUST_GRADES: Readonly<Record<BareRustGrade, string>> = {
  A: 'mill scale holds nearly everywhere, little or no rust',
  B: 'rust has begun and scale is starting to flake',
  C: 'scale has rusted away or scrapes off, slight pitting to be seen',
  D: 'scale has rusted away, pitting to be seen all over',
};

/** A preparation grade: what it means, the SSPC and NACE numbers beside it, and the share of area that may stay stained. */
export interface PrepGradeFacts {
  readonly meaning: string;
  readonly equivalents: readonly string[];
  /** Fraction 0 to 1, or null where none is given. */
  readonly stainMost: number | null;
}

/** Preparation grades. Source: ISO 8501-1 (grades), SSPC and NACE comparison sheet (equivalents and stain) */
export const PREP_GRADES: Readonly<Record<PrepGrade, PrepGradeFacts>> = {
  'St 2': { meaning: 'thorough hand or power tool cleaning', equivalents: ['SSPC-SP 2'], stainMost: null },
  'St 3': { meaning: 'as St 2, until bare metal shines', equivalents: ['SSPC-SP 3'], stainMost: null },
  'Sa 1': { meaning: 'light blast', equivalents: ['SSPC-SP 7', 'NACE 4'], stainMost: null },
  'Sa 2': { meaning: 'thorough blast, what stays holds fast', equivalents: ['SSPC-SP 6', 'NACE 3'], stainMost: 0.33 },
  'Sa 2 1/2': {
    meaning: 'very thorough blast, slight spots or stripes of stain only',
    equivalents: ['SSPC-SP 10', 'NACE 2'],
    stainMost: 0.05,
  },
  'Sa 3': { meaning: 'blast to one even metallic colour', equivalents: ['SSPC-SP 5', 'NACE 1'], stainMost: 0 },
  Fl: { meaning: 'flame cleaning', equivalents: [], stainMost: null },
};

const UNDEFINED_ON_A: ReadonlySet<PrepGrade> = new Set(['Sa 1', 'Sa 2', 'St 2', 'St 3']);

/**
 * Whether a preparation grade is defined for steel that started at a rust grade.
 *
 * @param rust Rust grade before preparation
 * @param grade Preparation grade
 * @returns False for A with Sa 1, Sa 2, St 2 or St 3, true for the rest
 * Source: ISO 8501-1, from memory
 */
export function isPrepGradeDefined(rust: BareRustGrade, grade: PrepGrade): boolean {
  return !(rust === 'A' && UNDEFINED_ON_A.has(grade));
}

/** Preparation of welds and edges before coating. Source: ISO 8501-3, rounding of P3 edges to 2 mm from memory */
export const EDGE_GRADES: Readonly<Record<'P1' | 'P2' | 'P3', string>> = {
  P1: 'light, or none',
  P2: 'thorough: most faults put right',
  P3: 'very thorough: no fault of weight left, edges rounded to 2 mm or more',
};
