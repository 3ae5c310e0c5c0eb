import { describe, expect, it } from 'vitest';
import { isPrescribedArea, repairCertificationNz } from '../../src/standards/index.ts';

describe('roadworthiness', () => {
  it('counts a hole 25 cm from a belt mounting as prescribed, 31 cm as not (DVSA manual App. A, verified)', () => {
    expect(isPrescribedArea(25)).toBe(true);
    expect(isPrescribedArea(30)).toBe(true);
    expect(isPrescribedArea(31)).toBe(false);
  });
  it('refers a pitted arm without a hole in New Zealand (NZTA VIRM 3-3, verified)', () => {
    const arm = 'subframe, steering or suspension';
    expect(repairCertificationNz({ part: arm, damage: 'significant pitting' })).toBe('refer');
    expect(repairCertificationNz({ part: arm, damage: 'surface rust' })).toBeNull();
    expect(repairCertificationNz({ part: 'structure', damage: 'surface rust' })).toBe('refer');
    expect(repairCertificationNz({ part: 'body panel', damage: 'significant pitting' })).toBeNull();
    expect(repairCertificationNz({ part: 'body panel', damage: 'perforation' })).toBe('refer');
  });
});
