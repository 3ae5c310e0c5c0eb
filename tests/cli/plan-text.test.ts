import { beforeAll, describe, expect, it } from 'vitest';
import { planText } from '../../src/cli/plan-text.ts';
import { plan } from '../../src/planning/index.ts';
import { demo, rubric } from '../engine/real.ts';

describe('planText()', () => {
  let lines: string[];
  beforeAll(() => {
    const car = {
      ...demo(),
      purpose: 'pre-purchase' as const,
      purchase: { asking: 900, ceiling: 1500, worthDone: 2600 },
    };
    lines = planText(plan(rubric, car, { seed: 1, draws: 400 }), (text) => text);
  });

  it('keeps to 80 columns', () => {
    for (const line of lines) expect([...line].length, line).toBeLessThanOrEqual(80);
  });

  it('puts what to set aside first, before likely and low', () => {
    const at = (word: string) => lines.findIndex((line) => line.startsWith(word));
    expect(at('Set aside')).toBeGreaterThan(0);
    expect(at('Set aside')).toBeLessThan(at('Likely'));
    expect(at('Likely')).toBeLessThan(at('Low'));
    expect(at('Contingency')).toBeGreaterThan(at('Low'));
  });

  it('names the rule or the rate under each line of the budget', () => {
    const from = lines.findIndex((line) => line.startsWith('Line by line'));
    const to = lines.findIndex((line, i) => i > from && (line === '' || line.includes('smaller lines')));
    const text = lines.slice(from + 1, to);
    const heads = text.filter((line) => !line.startsWith(' ')).length;
    expect(heads).toBeGreaterThan(20);
    expect(text.join(' ').match(/\[[a-z-]+[^\]]*;[^\]]+\]/g)).toHaveLength(heads);
  });

  it('shows both offers, and makes what could act on a terminal visible', () => {
    expect(lines.join('\n')).toMatch(/Offer, work going as likely +\d+/);
    const car = { ...demo(), name: 'Bad \u001b[31mname' };
    const [first] = planText(plan(rubric, car, { seed: 1, draws: 200 }), (text) => text);
    expect(first).toBe('Bad \\u{1b}[31mname');
  });
});
