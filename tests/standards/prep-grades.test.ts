import { describe, expect, it } from 'vitest';
import { isPrepGradeDefined, PREP_GRADES } from '../../src/standards/index.ts';

describe('preparation grades', () => {
  it('pairs the grades with SSPC and NACE numbers (comparison sheet, verified)', () => {
    expect(PREP_GRADES['Sa 2 1/2']).toMatchObject({ equivalents: ['SSPC-SP 10', 'NACE 2'], stainMost: 0.05 });
    expect(PREP_GRADES['Sa 2']).toMatchObject({ equivalents: ['SSPC-SP 6', 'NACE 3'], stainMost: 0.33 });
    expect(PREP_GRADES['Sa 3'].stainMost).toBe(0);
  });
  it('has no light preparation of rust grade A (ISO 8501-1, from memory)', () => {
    expect(isPrepGradeDefined('A', 'Sa 1')).toBe(false);
    expect(isPrepGradeDefined('A', 'Sa 2 1/2')).toBe(true);
    expect(isPrepGradeDefined('C', 'St 2')).toBe(true);
  });
});
