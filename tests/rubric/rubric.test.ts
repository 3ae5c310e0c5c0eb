import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import type { Assessment, Component } from '../../shared/index.ts';
import { parseDocumentText, valueRead } from '../../src/adapters/files/read-document.ts';
import { knockOutOrigins, sourcedEntries } from '../../src/app/show-rubric.ts';
import { checkRubric, filesOfRubric } from '../../src/engine/check-rubric.ts';
import { sentencesOf } from '../../src/engine/check-rubric-words.ts';
import { score } from '../../src/engine/index.ts';
import { assessmentOf, rubric } from '../engine/real.ts';

interface Case {
  name: string;
  given: Partial<Assessment> & { component: Component; others?: Component[] };
  expect: { action?: string; fired?: string[]; open?: string[]; alwaysNew?: boolean };
}

const folder = fileURLToPath(new URL('cases/', import.meta.url));
const kinds = rubric.kinds.map((kind) => [kind.id, kind] as const);
const casesOf = (id: string): Case[] =>
  existsSync(`${folder}${id}.yaml`)
    ? (valueRead(parseDocumentText(readFileSync(`${folder}${id}.yaml`, 'utf8'), id)) as Case[])
    : [];

describe('kinds of the rubric', () => {
  test('cover the car: the set to reach, and the six unlisted', () => {
    const ids = new Set(rubric.kinds.map((kind) => kind.id));
    for (const id of [
      'pressed-steel-arm tubular-or-forged-arm upright hub-and-bearing ball-joint track-rod-end anti-roll-bar',
      'anti-roll-bar-link coil-spring leaf-spring damper strut bonded-rubber-bush rubber-boot drive-shaft brake-disc',
      'brake-drum brake-caliper brake-pipe flexible-hose handbrake-cable subframe light-alloy-plate steering-rack',
      'bracket heat-shield threaded-fastener single-use-hardware hub-nut structural-section sill-or-floor-panel',
      'outer-panel fuel-pipe exhaust fuel-tank unlisted-pressed-steel unlisted-forging unlisted-casting',
      'unlisted-light-alloy unlisted-rubber unlisted-fastener',
    ].flatMap((line) => line.split(' ')))
      expect(ids).toContain(id);
  });

  test.each(kinds)('%s has 5 to 15 checks, and at least three and one knock-out that no other kind has', (id, kind) => {
    expect(kind.checks.length).toBeGreaterThanOrEqual(5);
    expect(kind.checks.length).toBeLessThanOrEqual(15);
    const others = rubric.kinds.filter((other) => other.id !== id);
    const asks = new Set(others.flatMap((other) => other.checks.map((check) => `${check.id}|${check.ask}`)));
    const own = kind.checks.filter((check) => !asks.has(`${check.id}|${check.ask}`));
    expect(own.length).toBeGreaterThanOrEqual(3);
    const rules = new Set(others.flatMap((other) => other.knockOuts.map((rule) => JSON.stringify(rule.when))));
    expect(kind.knockOuts.some((rule) => !rules.has(JSON.stringify(rule.when)))).toBe(true);
  });

  test.each(kinds)(
    '%s is no near copy of another: under a fifth of its four-word runs stand in any other kind',
    (id, kind) => {
      const own = runsOf(kind);
      for (const other of rubric.kinds) {
        if (other.id === id) continue;
        const theirs = runsOf(other);
        const shared = [...own].filter((run) => theirs.has(run)).length;
        expect([other.id, shared / own.size < 0.2]).toEqual([other.id, true]);
      }
    },
  );

  test.each(kinds)('%s has worked cases for reuse, refinish, replace and open', (id) => {
    const cases = casesOf(id);
    const actions = new Set(cases.map((one) => one.expect.action));
    const kind = rubric.kinds.find((one) => one.id === id)!;
    const wanted = kind.routes.length > 0 ? ['reuse', 'refinish', 'replace'] : ['reuse', 'replace'];
    expect([...actions]).toEqual(expect.arrayContaining(wanted));
    expect(cases.some((one) => (one.expect.open ?? []).length > 0)).toBe(true);
  });

  test('no sentence stands in two kinds, and one that did would be refused with its file and path', () => {
    const { version: _, ...content } = rubric;
    const [first, second, ...rest] = content.kinds;
    const copied = { ...second!, about: first!.about };
    const result = checkRubric(filesOfRubric({ ...content, kinds: [first!, copied, ...rest] }, 'rubric.json'));
    expect(result.faults).toEqual([
      expect.objectContaining({
        path: 'about',
        wanted: 'a sentence that no other kind has',
        found: `the one at ${first!.id}, about`,
      }),
    ]);
  });
});

test('joints in a circle, threads and classes that do not exist are refused with file and path', () => {
  const { version: _, ...content } = rubric;
  const at = content.kinds.findIndex((kind) => kind.joints.length > 1);
  const [first, second, ...others] = content.kinds[at]!.joints;
  const faultsOf = (changed: typeof first, other = second) => {
    const joints = [changed!, other!, ...others];
    const all = content.kinds.map((kind, i) => (i === at ? { ...kind, joints } : kind));
    return checkRubric(filesOfRubric({ ...content, kinds: all }, 'rubric.json')).faults ?? [];
  };
  const places = (faults: ReturnType<typeof faultsOf>) => faults.map(({ file, path }) => `${file} ${path}`);
  expect(places(faultsOf({ ...first!, thread: 'M11x9' }))).toContain('rubric.json joints.0.thread');
  expect(places(faultsOf({ ...first!, class: '11.1' }))).toContain('rubric.json joints.0.class');
  const circle = faultsOf({ ...first!, undoBefore: [second!.id] }, { ...second!, undoBefore: [first!.id] });
  expect(places(circle)).toContain('rubric.json joints.0.undoBefore');
});

test('a photo is refused on a check that asks for anything but a rusted area, with file, path and why', () => {
  const { version: _, ...content } = rubric;
  const at = content.kinds.findIndex((kind) => kind.id === 'pressed-steel-arm');
  const { checks } = content.kinds[at]!;
  const faultsWith = (isChosen: (check: (typeof checks)[number]) => boolean) => {
    const changed = checks.find(isChosen)!;
    const marked = checks.map((check) => (check === changed ? { ...check, photo: true as const } : check));
    const all = content.kinds.map((kind, i) => (i === at ? { ...kind, checks: marked } : kind));
    const { faults = [] } = checkRubric(filesOfRubric({ ...content, kinds: all }, 'rubric.json'));
    return { faults, path: `checks.${checks.indexOf(changed)}.photo` };
  };
  const scaleOf = ({ answer }: (typeof checks)[number]) => (answer.type === 'grade' ? answer.scale : undefined);
  const pits = faultsWith((check) => scaleOf(check) === 'steel-pitting');
  expect(pits.faults).toEqual([
    {
      file: 'rubric.json',
      path: pits.path,
      wanted: 'no photo, or a grade on the scale rust-area: a photo tells how much is rusted only',
      found: 'steel-pitting',
    },
  ]);
  const size = faultsWith((check) => check.answer.type === 'measure');
  expect(size.faults).toEqual([expect.objectContaining({ path: size.path, found: 'a measure' })]);
  expect(faultsWith((check) => scaleOf(check) === 'rust-area').faults).toEqual([]);
});

test.each(kinds)('each knock-out of %s fires in a worked case', (id, kind) => {
  const fired = new Set(casesOf(id).flatMap((one) => one.expect.fired ?? []));
  expect(kind.knockOuts.map((rule) => rule.id).filter((rule) => !fired.has(rule))).toEqual([]);
});

describe('routes', () => {
  const seen = new Map<string, { reached: boolean; refused: boolean }>(
    rubric.routes.map((route) => [route.id, { reached: false, refused: false }]),
  );
  for (const { id } of rubric.kinds) {
    for (const { given } of casesOf(id)) {
      const { component, others = [], ...rest } = given;
      const out = score(rubric, assessmentOf([component, ...others], rest), { seed: 1 });
      for (const option of out.components.find((part) => part.id === component.id)?.options ?? []) {
        if (option.route === null) continue;
        const state = seen.get(option.route)!;
        if (option.allowed !== 'no') state.reached = true;
        if (option.refused.some(({ rule }) => /^(?:operation|process)\.|must-not-meet|^method\./.test(rule)))
          state.refused = true;
      }
    }
  }
  test.each([...seen])('%s is reached by a case, and refused by one where it would harm', (_, state) => {
    expect(state).toEqual({ reached: true, refused: true });
  });
});

describe('sources', () => {
  test('at least half of all knock-outs carry a published source', () => {
    const { published, total } = knockOutOrigins(rubric);
    expect(published / total).toBeGreaterThanOrEqual(0.5);
  });

  test('each weak point, and whatever else must have one, says where it is from', () => {
    const entries = sourcedEntries(rubric);
    for (const kind of rubric.kinds)
      expect(entries.filter(({ place }) => place.startsWith(`kinds.${kind.id}.weakPoints`)).length).toBe(
        kind.weakPoints.length,
      );
  });
});

function runsOf(kind: unknown): Set<string> {
  const runs = new Set<string>();
  for (const { text } of sentencesOf(kind)) {
    const words = text.split(' ');
    for (let i = 0; i + 4 <= words.length; i++) runs.add(words.slice(i, i + 4).join(' '));
  }
  return runs;
}

test('every cases file belongs to a kind', () => {
  const ids = rubric.kinds.map((kind) => `${kind.id}.yaml`);
  for (const file of readdirSync(folder)) expect(ids).toContain(file);
});
