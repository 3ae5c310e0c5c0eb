import { afterAll, describe, expect, it } from 'vitest';
import { PlanOut } from '../../shared/index.ts';
import { pack } from '../../src/adapters/serve/index.ts';
import { plan } from '../../src/planning/index.ts';
import { openTestApp } from './test-app.ts';

const test = await openTestApp({ plan: (...asked) => pack(plan(...asked)) });
afterAll(() => test.close());

describe('the plan of an assessment', () => {
  it('is the document of the contract, and is not sent twice', async () => {
    const { id } = (await test.json<{ id: string }>('/api/demos/demo', { method: 'POST' })).body;
    const { status, body, headers } = await test.json(`/api/assessments/${id}/plan?seed=3`);
    expect(status).toBe(200);
    expect(PlanOut.parse(body).seed).toBe(3);
    const again = await test.ask(`/api/assessments/${id}/plan?seed=3`, {
      headers: { 'If-None-Match': headers.get('etag')! },
    });
    expect(again.status).toBe(304);
  });
});
