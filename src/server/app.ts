import { OpenAPIHono } from '@hono/zod-openapi';
import type { Context } from 'hono';
import { HTTPException } from 'hono/http-exception';
import type { ApiName, Problem, Role } from '../../shared/index.ts';
import { faultsOf } from '../../shared/index.ts';
import { ProblemError, problem, problemOf } from '../app/store-problem.ts';
import { judgeAhead } from './ahead.ts';
import type { ServerDeps } from './deps.ts';
import { eventDesk } from './events.ts';
import { fastReads } from './fast-read.ts';
import { type Env, hostAndOrigin, safeHeaders, sessions } from './guard.ts';
import { judging } from './judging.ts';
import { servePage } from './page.ts';
import { assessmentRoutes } from './routes/assessments.ts';
import { photoRoutes } from './routes/photos.ts';
import { rubricRoutes } from './routes/rubric.ts';
import { sharingRoutes } from './routes/sharing.ts';
import { travelRoutes } from './routes/travel.ts';
import { mountRoutes } from './routes.ts';
import { verdictDesk } from './verdicts.ts';

/** Largest import, bytes. */
const IMPORT_BYTES = 400 * 1024 * 1024;
const PARTS_BYTES = 20 * 1024 * 1024;

export interface App {
  fetch: OpenAPIHono<Env>['fetch'];
  request: OpenAPIHono<Env>['request'];
  /** A pairing code for the terminal. */
  issueCode: (role: Role) => Promise<{ token: string; link: string; expiresAt: Date }>;
  /** Judges ahead from now on; to be called once the server listens. */
  begin: () => void;
  /** Ends open event streams, and judging ahead. */
  close: () => void;
}

/** The whole server as a function from request to answer; it never listens. */
export function createApp(deps: ServerDeps): App {
  const app = new OpenAPIHono<Env>({
    defaultHook: (result, c) => {
      if (result.success) return undefined;
      const shown = result.target === 'json' ? undefined : null;
      return sendProblem(c, problem('bad-request', undefined, { faults: faultsOf(result.error, shown) }));
    },
  });
  const session = sessions(deps);
  const judge = judging(deps);
  const verdicts = verdictDesk(deps, judge);
  const ahead = judgeAhead(deps, verdicts);
  const events = eventDesk(deps.store, { event: 'hello', rubricVersion: deps.rubric.version, version: deps.version });
  const { issue, ...sharing } = sharingRoutes(deps, session, events);

  app.onError((error, c) => {
    if (error instanceof HTTPException) {
      const name = error.status === 413 ? 'too-large' : 'bad-request';
      return sendProblem(c, problem(name, error.message));
    }
    const told = problemOf(error);
    if (told.status === 500) deps.log(`${c.req.method} ${c.req.path} failed`, error);
    return sendProblem(c, told);
  });
  app.use('*', safeHeaders(), hostAndOrigin(deps.sharing));
  app.use('/api/*', session.identify());

  const raw: Partial<Record<ApiName, number>> = {
    addPhoto: deps.photos.mostBytes,
    importAssessment: IMPORT_BYTES,
    importParts: PARTS_BYTES,
  };
  const document = () =>
    app.getOpenAPI31Document({
      openapi: '3.1.0',
      info: { title: 'Keepworthy', version: deps.version, description: 'Every error is problem details (RFC 9457).' },
    });
  mountRoutes(
    app,
    {
      ...assessmentRoutes(deps, judge, verdicts),
      ...photoRoutes(deps),
      ...travelRoutes(deps, judge),
      ...rubricRoutes(deps, judge),
      ...sharing,
      openapi: () => document() as unknown as Record<string, unknown>,
    },
    raw,
  );
  app.all('/api/*', () => {
    throw new ProblemError('not-found', 'There is no such address; see /api/openapi.json');
  });
  app.get('*', (c) => {
    const answer = deps.page && servePage(c, deps.page);
    if (answer) return answer;
    throw new ProblemError('not-found', deps.page ? undefined : 'The page is not built; the interface is at /api');
  });
  app.notFound((c) => sendProblem(c, problem('not-found')));

  const fast = fastReads(deps, session);
  const fetch: App['fetch'] = (request, env, context) => fast(env) ?? app.fetch(request, env, context);
  const close = () => {
    ahead.close();
    events.close();
  };
  return { fetch, request: app.request, issueCode: issue, begin: ahead.begin, close };
}

function sendProblem(c: Context, told: Problem): Response {
  return c.body(JSON.stringify(told), told.status as 400, { 'Content-Type': 'application/problem+json' });
}
