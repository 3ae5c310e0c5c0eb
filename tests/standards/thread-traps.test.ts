import { describe, expect, it } from 'vitest';
import { confusedWith } from '../../src/standards/index.ts';
import { knownThread } from './known-thread.ts';

describe('confusedWith()', () => {
  const others = (name: string): string[] => confusedWith(knownThread(name)).map((trap) => trap.other);

  it('warns that 3/8-16 BSW and UNC screw together and must be rejected (BS 84, ASME B1.1, verified)', () => {
    const trap = confusedWith(knownThread('3/8 BSW')).find((each) => each.other === '3/8-16 UNC');
    expect(trap?.why).toMatch(/screw together/);
    expect(trap?.why).toMatch(/reject/);
    expect(trap?.basis).toBe('published');
  });

  it('tells the half inch apart: 12 against 13 threads per inch (BS 84, ASME B1.1, verified)', () => {
    expect(confusedWith(knownThread('1/2 UNC'))[0]).toMatchObject({
      other: '1/2-12 BSW',
      why: expect.stringMatching(/12.*13/),
    });
  });

  it('knows the pairs from both sides (computed from nominal sizes)', () => {
    expect(others('5/16-24 UNF')).toContain('M8x1');
    expect(others('M8x1')).toContain('5/16-24 UNF');
    expect(others('M8')).toContain('5/16 in');
    expect(others('5/16 BSF')).toContain('M8');
    expect(others('1/2-20 UNF')).toContain('M12x1.25');
    expect(others('M12x1.25')).toContain('1/2-20 UNF');
    expect(others('0 BA')).toContain('M6');
    expect(others('1/4-28 UNF')).toContain('M6');
  });

  it('knows metric threads under Whitworth hexagons (thread notes, verified)', () => {
    expect(others('M10')).toContain('a Whitworth thread');
    expect(others('M12')).not.toContain('a Whitworth thread');
  });

  it('has nothing for a thread without a twin', () => expect(confusedWith(knownThread('M24'))).toEqual([]));
});
