import { createRoute, type OpenAPIHono, z } from '@hono/zod-openapi';
import type { Context } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import { API, type ApiName, type ApiRoute, Problem } from '../../shared/index.ts';
import { ProblemError } from '../app/store-problem.ts';
import { type Env, needRole } from './guard.ts';

const JSON_BYTES = 4 * 1024 * 1024;

type Named<Name extends ApiName> = (typeof API)[Name];
type Parsed<T> = T extends z.ZodType ? z.output<T> : undefined;
type Field<Name extends ApiName, Key extends string> =
  Named<Name> extends { [K in Key]: infer Value } ? Parsed<Value> : undefined;

/** What a handler is given: checked, of the contract's types. */
export interface Asked<Name extends ApiName> {
  c: Context<Env>;
  params: Field<Name, 'params'>;
  query: Field<Name, 'query'>;
  body: Field<Name, 'body'>;
}

/** What a handler may give back: the contract's answer, or a response of its own. */
type Given<Name extends ApiName> =
  | Response
  | (Named<Name> extends { answer: infer A } ? (A extends z.ZodType ? z.input<A> : null) : never);

export type Handlers = { [Name in ApiName]: (asked: Asked<Name>) => Promise<Given<Name>> | Given<Name> };

/** Puts every route of the contract on the app, with the role it wants, its body's bounds, and its place in the document. */
export function mountRoutes(
  app: OpenAPIHono<Env>,
  handlers: Handlers,
  rawBytes: Partial<Record<ApiName, number>>,
): void {
  for (const name of Object.keys(API) as ApiName[]) {
    const spec: ApiRoute = API[name];
    const handler = handlers[name] as (asked: object) => Promise<unknown>;
    const most = rawBytes[name] ?? JSON_BYTES;
    const limit = bodyLimit({
      maxSize: most,
      onError: () => {
        throw new ProblemError('too-large', `Wanted at most ${Math.floor(most / 1024 / 1024)} MB`);
      },
    });
    const route = createRoute({
      method: spec.method,
      path: spec.path,
      operationId: name,
      summary: spec.about,
      // The role is asked before the body is read.
      middleware: [
        async (c: Context<Env>, next: () => Promise<void>) => {
          if (spec.role !== null) needRole(c.get('caller'), spec.role);
          await next();
        },
        ...(spec.body ? [limit] : []),
      ],
      request: {
        ...(spec.params ? { params: spec.params } : {}),
        ...(spec.query ? { query: spec.query } : {}),
        ...(spec.body ? { body: bodyOf(spec.body) } : {}),
      },
      responses: responsesOf(name, spec, app),
    } as Parameters<typeof createRoute>[0]);
    app.openapi(route, (async (c: Context<Env>) => {
      const valid = (target: string) => (c.req as unknown as { valid(t: string): unknown }).valid(target);
      const given = await handler({
        c,
        params: spec.params ? valid('param') : undefined,
        query: spec.query ? valid('query') : undefined,
        body: spec.body && !('mediaTypes' in spec.body) ? valid('json') : undefined,
      });
      if (given instanceof Response) return given;
      if (spec.answer === null) return c.body(null, spec.status as 204);
      return c.json(given as object, spec.status as 200);
    }) as never);
  }
}

function bodyOf(body: NonNullable<ApiRoute['body']>) {
  if (!('mediaTypes' in body)) return { required: true, content: { 'application/json': { schema: body } } };
  const file = { type: 'string', format: 'binary' };
  return { required: true, content: Object.fromEntries(body.mediaTypes.map((type) => [type, { schema: file }])) };
}

function responsesOf(name: ApiName, { status, answer, problems = [], role, body }: ApiRoute, app: OpenAPIHono<Env>) {
  const problemContent = { 'application/problem+json': { schema: Problem } };
  const statuses = new Set([400, 500, 421, ...(role ? [401, 403] : []), ...(body ? [413, 503, 507] : []), ...problems]);
  const responses: Record<number, object> = {};
  if (answer === null) responses[status] = { description: 'Done' };
  else if ('mediaType' in answer) {
    const file = { type: 'string', format: 'binary' };
    responses[status] = { description: 'The file', content: { [answer.mediaType]: { schema: file } } };
  } else {
    const schema = documented(name, answer, app);
    responses[status] = { description: 'The answer', content: { 'application/json': { schema } } };
  }
  for (const number of statuses) responses[number] = { description: 'What is wrong', content: problemContent };
  return responses;
}

/**
 * JSON Schema of an answer, which OpenAPI 3.1 takes as it is. Parts that contain themselves (conditions of rules) move to the
 * document's components, since a reference counts from the root of the document.
 */
function documented(name: string, answer: z.ZodType, app: OpenAPIHono<Env>): object {
  const text = JSON.stringify(z.toJSONSchema(answer, { unrepresentable: 'any' })).replaceAll(
    '#/$defs/',
    `#/components/schemas/${name}-`,
  );
  const {
    $schema: _schema,
    $defs = {},
    ...schema
  } = JSON.parse(text) as { $schema?: string; $defs?: Record<string, object> };
  for (const [part, definition] of Object.entries($defs)) {
    app.openAPIRegistry.registerComponent('schemas', `${name}-${part}`, definition);
  }
  return schema;
}
