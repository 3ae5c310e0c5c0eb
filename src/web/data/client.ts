import type { z } from 'zod';
import type { API, ApiName, Problem } from '../../../shared/api.ts';
import type { Assessment, ScoreOut } from '../../../shared/index.ts';
import { setOnline } from './use-outbox.ts';

/** On an answer that this device had kept, since the server was not heard; see `offline/sw.ts`. */
const KEPT_MARK = 'keepworthy-kept';

type Api = typeof API;
type Method<N extends ApiName> = Api[N]['method'];
type Path<N extends ApiName> = Api[N]['path'];

/** The routes this page calls. Written out so that the schemas stay out of the page; the compiler holds them to the table. */
const ROUTES = {
  me: ['get', '/api/me'],
  rename: ['patch', '/api/me'],
  listAssessments: ['get', '/api/assessments'],
  createAssessment: ['post', '/api/assessments'],
  readAssessment: ['get', '/api/assessments/{id}'],
  deleteAssessment: ['delete', '/api/assessments/{id}'],
  restoreAssessment: ['post', '/api/assessments/{id}/restore'],
  changeAssessment: ['post', '/api/assessments/{id}/changes'],
  undo: ['post', '/api/assessments/{id}/undo'],
  history: ['get', '/api/assessments/{id}/history'],
  score: ['get', '/api/assessments/{id}/score'],
  plan: ['get', '/api/assessments/{id}/plan'],
  listPhotos: ['get', '/api/assessments/{id}/photos'],
  addPhoto: ['post', '/api/assessments/{id}/photos'],
  measurePhoto: ['post', '/api/assessments/{id}/photos/{photo}/measure'],
  removePhoto: ['delete', '/api/assessments/{id}/photos/{photo}'],
  importAssessment: ['post', '/api/import'],
  importParts: ['post', '/api/assessments/{id}/parts'],
  rubric: ['get', '/api/rubric'],
  listDemos: ['get', '/api/demos'],
  openDemo: ['post', '/api/demos/{demo}'],
  newPairing: ['post', '/api/pairing'],
  pair: ['post', '/api/pair'],
  listDevices: ['get', '/api/devices'],
  revokeDevice: ['delete', '/api/devices/{device}'],
} as const satisfies { [N in ApiName]?: readonly [Method<N>, Path<N>] };

type RouteName = keyof typeof ROUTES;
type Answer<N extends RouteName> = Api[N]['answer'] extends z.ZodType ? z.infer<Api[N]['answer']> : null;

/** The server said no, and why. */
export class Refused extends Error {
  readonly problem: Problem;
  constructor(problem: Problem) {
    super(problem.detail ?? problem.title);
    this.name = 'Refused';
    this.problem = problem;
  }

  get kind(): string {
    return this.problem.type.split('/').at(-1) ?? '';
  }
}

/** The server did not answer. */
export class NoAnswer extends Error {
  constructor(cause: unknown) {
    super('The server does not answer', { cause });
    this.name = 'NoAnswer';
  }
}

interface CallOptions {
  params?: Record<string, string>;
  query?: Record<string, string | number | undefined>;
  json?: unknown;
  raw?: Blob;
  headers?: Record<string, string>;
  signal?: AbortSignal | undefined;
}

/** Calls one route; throws `Refused` with the problem's details, or `NoAnswer`. */
export async function call<N extends RouteName>(name: N, options: CallOptions = {}): Promise<Answer<N>> {
  return (await callForResponse(name, options)).body as Answer<N>;
}

export function addressOf(path: string, params: Record<string, string> = {}, query: CallOptions['query'] = {}): string {
  const filled = path.replace(/\{(\w+)\}/g, (_, key: string) => encodeURIComponent(params[key] ?? ''));
  const search = new URLSearchParams();
  for (const [key, value] of Object.entries(query)) if (value !== undefined) search.set(key, String(value));
  return search.size > 0 ? `${filled}?${search}` : filled;
}

async function callForResponse(name: RouteName, options: CallOptions): Promise<{ body: unknown; headers: Headers }> {
  const [method, path] = ROUTES[name];
  let response: Response;
  try {
    response = await fetch(addressOf(path, options.params, options.query), {
      method: method.toUpperCase(),
      headers: {
        accept: 'application/json',
        ...(options.json === undefined ? {} : { 'content-type': 'application/json' }),
        ...(options.raw ? { 'content-type': options.raw.type || 'application/octet-stream' } : {}),
        ...options.headers,
      },
      ...(options.json === undefined ? {} : { body: JSON.stringify(options.json) }),
      ...(options.raw ? { body: options.raw } : {}),
      ...(options.signal ? { signal: options.signal } : {}),
    });
  } catch (cause) {
    if (options.signal?.aborted) throw cause;
    setOnline(false);
    throw new NoAnswer(cause);
  }
  setOnline(!response.headers.has(KEPT_MARK));
  if (response.status === 204) return { body: null, headers: response.headers };
  const body = await response.json().catch(() => null);
  if (!response.ok) {
    // A batch of which every part was refused still tells about each part.
    if (body && typeof body === 'object' && 'results' in body) return { body, headers: response.headers };
    throw new Refused(
      body && typeof body === 'object' && 'type' in body
        ? (body as Problem)
        : { type: '/problems/fault', title: response.statusText || 'Refused', status: response.status },
    );
  }
  return { body, headers: response.headers };
}

/** An assessment as read, with what is needed to change it and to judge it. */
export interface ReadAssessment {
  assessment: Assessment;
  version: number;
  rubricVersion: string | null;
}

export async function readAssessment(id: string, signal?: AbortSignal): Promise<ReadAssessment> {
  const { body, headers } = await callForResponse('readAssessment', { params: { id }, signal });
  return {
    assessment: body as Assessment,
    version: Number.parseInt(/"(\d+)/.exec(headers.get('etag') ?? '')?.[1] ?? '0', 10),
    rubricVersion: headers.get('keepworthy-rubric'),
  };
}

/** Verdicts as the server works them out, with the version of the assessment that they judge: with `ready` maybe an earlier one. */
export async function readScore(
  id: string,
  query: { seed: number; minutes?: number; ready?: 'true' },
): Promise<{ score: ScoreOut; version: number }> {
  const { body, headers } = await callForResponse('score', { params: { id }, query });
  return { score: body as ScoreOut, version: Number(headers.get('keepworthy-version') ?? Number.NaN) };
}

/** Address of a stored photo's picture. */
export function photoAddress(id: string, photo: string, width?: number): string {
  return addressOf('/api/assessments/{id}/photos/{photo}/file', { id, photo }, { width });
}

export function maskAddress(id: string, photo: string, stamp: string): string {
  return addressOf('/api/assessments/{id}/photos/{photo}/mask', { id, photo }, { at: stamp });
}

export function exportAddress(id: string, format: 'zip' | 'csv' | 'json'): string {
  return addressOf('/api/assessments/{id}/export', { id }, { format });
}

/** What went wrong, in one sentence for a person. */
export function sayTrouble(error: unknown): string {
  if (error instanceof Refused) {
    const faults = error.problem.faults ?? [];
    if (faults.length === 0) return error.message;
    return faults
      .map((fault) => `${fault.path ? `${fault.path}: ` : ''}found ${fault.found}, wanted ${fault.wanted}`)
      .join('. ');
  }
  return error instanceof Error ? error.message : String(error);
}
