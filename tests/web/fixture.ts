import { readdirSync, readFileSync } from 'node:fs';
import { parse } from 'yaml';
import type { AssessmentRow, Demo, Me, StoredPhoto } from '../../shared/api.ts';
import { Assessment, type ComponentOut, type OptionOut, Rubric, ScoreOut } from '../../shared/index.ts';

/** Invented data in the form of the real contracts, so that pages can be tried without an engine behind them. */
const RUBRIC = new URL('../../rubric/', import.meta.url);

/** The real shared files of the rubric; only the kinds are invented. */
function wholeFiles(): Record<string, unknown> {
  const names = readdirSync(RUBRIC).filter((name) => name.endsWith('.yaml') && name !== 'imaging.yaml');
  return Object.fromEntries(
    names.map((name) => [name.replace('.yaml', ''), parse(readFileSync(new URL(name, RUBRIC), 'utf8'))]),
  );
}

const grade = (id: string, zone: string, ask: string, extra: object = {}) => ({
  id,
  zone,
  ask,
  how: 'Three strokes with a wire brush, then a lamp from the side.',
  answer: { type: 'grade', scale: 'rust-area' },
  minutes: 1,
  earliestStage: 'fitted',
  finalStage: 'cleaned',
  method: 'seen',
  weight: 1,
  limit: { serviceable: 3, smart: 1, show: 1 },
  restoredBy: 'refinish',
  reveal: 'rust-area',
  rustiness: 'rust-area',
  photo: true,
  from: 'own-judgement',
  ...extra,
});

const kind = (id: string, name: string, extra: object = {}) => ({
  id,
  name,
  about: 'A part that holds a wheel to the car.',
  material: 'steel',
  safetyCritical: true,
  replaceAs: 'single',
  massKg: [2, 3, 4],
  areaDm2: [10, 14, 20],
  sizesFrom: 'own-judgement',
  removalHours: [0.5, 0.8, 1.5],
  refitHours: [0.5, 0.8, 1.2],
  hoursFrom: 'own-judgement',
  zones: [
    { id: 'rear-eye', name: 'Rear eye and weld toe', loadPath: true, where: 'both sides of the tube' },
    { id: 'front-eye', name: 'Front eye and weld toe', loadPath: true },
    { id: 'web', name: 'Web and its holes', loadPath: true },
    { id: 'flange', name: 'Folded flange, lower', loadPath: false },
  ],
  checks: [
    grade('rear-toe', 'rear-eye', 'Rust along the weld toe, rear eye'),
    grade('front-toe', 'front-eye', 'Rust along the weld toe, front eye'),
    grade('web-rust', 'web', 'Rust on the web'),
    {
      ...grade('web-wall', 'web', 'Wall left at the holes'),
      answer: {
        type: 'measure',
        unit: 'mm',
        range: [0, 3],
        points: [2, 1.9, 1.7, 1.5, 1.2],
        grades: [1.9, 1.8, 1.7, 1.6, 1.5],
        words: 'Ultrasonic gauge, five places',
      },
      photo: undefined,
    },
    {
      ...grade('rear-crack', 'rear-eye', 'Crack at the weld toe, rear eye'),
      answer: {
        type: 'choice',
        options: [
          { id: 'none', words: 'No line after ten minutes', grade: 0 },
          { id: 'line', words: 'A line, however short', grade: 5 },
        ],
      },
      method: 'crack-test',
      minutes: 12,
      compulsory: 'A crack at a load-path weld ends the arm.',
      photo: undefined,
      limit: 0,
    },
    grade('flange-scale', 'flange', 'Scale inside the fold', { photo: undefined }),
  ],
  knockOuts: [
    {
      id: 'crack',
      bars: 'reuse-and-refinish',
      when: { check: 'rear-crack', is: 'line' },
      because: 'A crack at a weld toe grows from its end.',
      from: 'own-judgement',
    },
    {
      id: 'thin',
      bars: 'reuse',
      when: { check: 'web-wall', below: 1.5 },
      because: 'The wall is thinner than three quarters of new.',
      from: 'common-practice',
    },
  ],
  routes: ['blast-zinc-primer-paint'],
  mustNotMeet: [{ harm: 'acid', because: 'The folded flange traps it', from: 'common-practice' }],
  supplies: [
    {
      id: 'pattern',
      type: 'pattern',
      price: [100, 118, 140],
      leadDays: [3, 7, 21],
      misfit: 0.2,
      from: 'own-judgement',
    },
  ],
  joints: [],
  record: ['Which way round the bush stands'],
  photograph: ['Both eyes, from the side'],
  masking: ['Both eyes'],
  weakPoints: [{ zone: 'rear-eye', text: 'Cracks from the lower end, after a kerb', from: 'common-practice' }],
  symptoms: [{ id: 'knock', symptom: 'Knock over kerbs', checks: ['rear-toe'] }],
  ...extra,
});

export function rubric(): Rubric {
  const withoutSamePhoto = (value: unknown) => JSON.parse(JSON.stringify(value)) as unknown;
  return Rubric.parse({
    version: '0123456789abcdef',
    ...wholeFiles(),
    kinds: [
      withoutSamePhoto(kind('pressed-steel-arm', 'Lower arm, pressed steel')),
      withoutSamePhoto(kind('brake-disc', 'Brake disc', { material: 'cast-iron', replaceAs: 'axle-pair' })),
      withoutSamePhoto(kind('bolt', 'Arm bolt', { safetyCritical: false })),
    ],
  });
}

const PARTS: readonly [string, string, string, string, number][] = [
  ['sill-left', 'Sill, left outer', 'pressed-steel-arm', 'Left', 1],
  ['disc-left', 'Brake disc', 'brake-disc', 'Front left', 1],
  ['ball-joint', 'Ball joint, lower', 'pressed-steel-arm', 'Front left', 1],
  ['bolts', 'Arm bolts M12, 10.9', 'bolt', 'Front left', 4],
  ['subframe', 'Subframe, left leg', 'pressed-steel-arm', 'Front', 1],
  ['arm-left', 'Lower arm, pressed steel', 'pressed-steel-arm', 'Front left', 1],
  ['arm-right', 'Lower arm, pressed steel', 'pressed-steel-arm', 'Front right', 1],
  ['bracket', 'Caliper bracket', 'bolt', 'Front left', 1],
  ['spring', 'Coil spring', 'pressed-steel-arm', 'Front left', 1],
  ['bar', 'Anti-roll bar', 'pressed-steel-arm', 'Front', 1],
  ['upright', 'Upright, forged', 'brake-disc', 'Front left', 1],
  ['hub', 'Hub', 'brake-disc', 'Front left', 1],
];

export function assessment(): Assessment {
  const seen = (check: string, value: number | string, stage: string, n: number) => ({
    id: `obs-${check}-${stage}-${n}`,
    check,
    value,
    stage,
    date: '2026-03-12',
    grader: 'R. Aldous',
  });
  return Assessment.parse({
    format: 'keepworthy-assessment/1',
    id: 'halvern-tern',
    name: 'Halvern Tern 1600',
    vehicle: 'Front end, 1974 saloon',
    date: '2026-03-12',
    purpose: 'scope',
    wantedFinish: 'smart',
    horizonYears: 8,
    atmosphere: 'C4',
    ruleBook: 'uk',
    units: 'mm',
    currency: 'GBP',
    rates: { own: 18, shop: [58, 68, 85], labour: 'own' },
    areas: [
      { id: 'front', name: 'the front end' },
      { id: 'underbody', name: 'the underbody' },
    ],
    components: PARTS.map(([id, name, of, position, count], n) => ({
      id,
      name,
      kind: of,
      position,
      ...(count > 1 ? { count } : {}),
      area: n === 0 ? 'underbody' : 'front',
      stage: id === 'arm-left' ? 'cleaned' : 'fitted',
      observations:
        id === 'sill-left'
          ? []
          : id === 'arm-left'
            ? [
                seen('rear-toe', 2, 'fitted', n),
                { id: 'obs-ns', check: 'front-toe', none: 'not-seen', stage: 'fitted', date: '2026-03-12' },
                seen('rear-toe', 4, 'cleaned', n),
                seen('front-toe', 2, 'cleaned', n),
                { id: 'obs-np', check: 'web-rust', none: 'not-possible', stage: 'fitted', date: '2026-03-12' },
                seen('web-wall', 1.7, 'cleaned', n),
              ]
            : [seen('rear-toe', 1, 'fitted', n), seen('front-toe', 2, 'fitted', n)],
    })),
  });
}

interface Shape {
  action: 'reuse' | 'refinish' | 'replace';
  firmness: 'settled' | 'leaning' | 'open';
  odds: [number, number, number];
  index: [number, number] | null;
  cost: [number, number, number];
  why: string;
  fired?: boolean;
  ifClear?: 'refinish';
  hold?: string;
}

const SHAPES: readonly Shape[] = [
  {
    action: 'replace',
    firmness: 'open',
    odds: [0.1, 0.38, 0.52],
    index: [0, 100],
    cost: [170, 255, 430],
    why: 'Not looked at: none of 7 checks answered.',
    ifClear: 'refinish',
  },
  {
    action: 'replace',
    firmness: 'settled',
    odds: [0, 0, 1],
    index: [8, 20],
    cost: [26, 34, 52],
    why: '9.1 mm left. The stamp says 9.5.',
    fired: true,
  },
  {
    action: 'replace',
    firmness: 'settled',
    odds: [0, 0, 1],
    index: [4, 9],
    cost: [24, 33, 50],
    why: 'Play 1.4 mm where 0.5 is the limit. Boot split.',
    fired: true,
  },
  {
    action: 'replace',
    firmness: 'settled',
    odds: [0, 0, 1],
    index: [10, 40],
    cost: [6, 9, 16],
    why: 'Two were heated to a glow to free them. Any glow ends a 10.9 bolt.',
    fired: true,
  },
  {
    action: 'replace',
    firmness: 'open',
    odds: [0.2, 0.29, 0.51],
    index: [12, 78],
    cost: [150, 235, 410],
    why: 'Box section never looked into.',
    ifClear: 'refinish',
  },
  {
    action: 'refinish',
    firmness: 'leaning',
    odds: [0, 0.68, 0.32],
    index: [41, 66],
    cost: [48, 74, 130],
    why: 'Looked sound fitted, pitted once cleaned.',
    hold: 'crack test',
  },
  {
    action: 'refinish',
    firmness: 'leaning',
    odds: [0.1, 0.71, 0.19],
    index: [50, 80],
    cost: [44, 70, 118],
    why: 'A few spots, edges sharp; the right one was never kerbed.',
  },
  {
    action: 'refinish',
    firmness: 'settled',
    odds: [0, 1, 0],
    index: [38, 44],
    cost: [4, 6, 10],
    why: 'Zinc is spent; the batch goes anyway.',
  },
  {
    action: 'refinish',
    firmness: 'open',
    odds: [0.3, 0.4, 0.3],
    index: [20, 90],
    cost: [30, 46, 90],
    why: 'Lower coil not seen.',
  },
  {
    action: 'reuse',
    firmness: 'leaning',
    odds: [0.74, 0.2, 0.06],
    index: [60, 88],
    cost: [0.5, 2, 9],
    why: 'Paint whole but for the clamps.',
  },
  {
    action: 'reuse',
    firmness: 'settled',
    odds: [1, 0, 0],
    index: [82, 90],
    cost: [0.5, 1, 3],
    why: 'Every limit of smart is met.',
  },
  {
    action: 'reuse',
    firmness: 'settled',
    odds: [1, 0, 0],
    index: [85, 92],
    cost: [0.5, 1, 4],
    why: 'Every limit of smart is met.',
  },
];

function option(
  id: string,
  action: Shape['action'],
  name: string,
  cost: [number, number, number],
  extra: Partial<OptionOut> = {},
): OptionOut {
  const [low, usual, high] = cost;
  return {
    id,
    action,
    route: action === 'refinish' ? 'blast-zinc-primer-paint' : null,
    supply: action === 'replace' ? 'pattern' : null,
    name,
    allowed: 'yes',
    refused: [],
    expectedCost: usual * 1.1,
    costAlone: usual * 1.1,
    costShared: usual,
    hours: { low: 1.2, usual: 2.1, high: 4.2 },
    money: { low, usual, high },
    leadDays: { low: 3, usual: 7, high: 16 },
    failChance: action === 'reuse' ? 0 : 0.14,
    ...extra,
  };
}

function component(n: number): ComponentOut {
  const [id, name, of, position, count] = PARTS[n]!;
  const shape = SHAPES[n]!;
  const other = (action: Shape['action'], name: string, k: number) =>
    option(`${action}-${k}`, action, name, shape.cost.map((c) => c * (1.3 + 0.3 * k)) as [number, number, number]);
  const isSafety = of !== 'bolt';
  return {
    id,
    name,
    kind: of,
    kindName: of,
    count,
    position,
    area: n === 0 ? 'underbody' : 'front',
    stage: id === 'arm-left' ? 'cleaned' : 'fitted',
    safetyCritical: isSafety,
    verdict: {
      action: shape.action,
      ifClear: shape.ifClear ?? null,
      firmness: shape.firmness,
      odds: { reuse: shape.odds[0], refinish: shape.odds[1], replace: shape.odds[2] },
      hedge: false,
      holdPoint: shape.hold ?? null,
      because: [
        { rule: `${of}.rear-toe`, text: shape.why, source: null, basis: 'own-judgement' },
        {
          rule: 'method.cheapest',
          text: `${name}: the cheapest of what is allowed.`,
          source: null,
          basis: 'own-judgement',
        },
      ],
      flips: [
        {
          what: 'price',
          at: 52,
          unit: 'GBP',
          from: shape.action,
          to: shape.action === 'replace' ? 'refinish' : 'replace',
        },
        { what: 'own time', at: 37, unit: 'GBP/h', from: shape.action, to: 'replace' },
        { what: 'wanted finish', at: 'show', unit: '', from: shape.action, to: 'replace' },
      ],
      aloneAction: shape.action,
      ...(count > 1 ? { counts: { reuse: 2, refinish: 0, replace: 2 } } : {}),
      spare: false,
      override: null,
    },
    index: shape.index
      ? { low: shape.index[0], high: shape.index[1], likelyLow: shape.index[0] + 2, likelyHigh: shape.index[1] - 2 }
      : null,
    options: [
      option(
        'chosen',
        shape.action,
        shape.action === 'reuse'
          ? 'Refit as it is'
          : shape.action === 'refinish'
            ? 'Blast, zinc primer, two-pack black'
            : 'New pattern part',
        shape.cost,
      ),
      ...(shape.action === 'refinish'
        ? [other('refinish', 'Blast, powder coat', 0)]
        : [other('refinish', 'Blast, zinc primer, two-pack black', 1)]),
      ...(shape.action === 'replace' ? [] : [other('replace', 'New pattern part', 2)]),
      option('reuse-no', 'reuse', 'Reuse as it is', shape.cost, {
        allowed: 'no',
        refused: [
          {
            rule: `${of}.limit`,
            text: 'Grade 4 at the rear eye; smart allows 1.',
            source: null,
            basis: 'common-practice',
          },
        ],
      }),
    ].filter((o, i) => i === 0 || o.action !== shape.action || o.id !== 'reuse-no'),
    knockOuts: [
      {
        rule: `${of}.crack`,
        state: shape.firmness === 'open' ? 'open' : 'clear',
        bars: 'reuse-and-refinish',
        text: 'Any crack at a load-path weld.',
        source: null,
        basis: 'own-judgement',
      },
      {
        rule: `${of}.thin`,
        state: shape.fired ? 'fired' : 'clear',
        bars: 'reuse',
        text: shape.fired ? shape.why : 'Wall under 1.5 mm.',
        source: 'Roadworthiness manual, clause 1.1.11',
        basis: 'published',
      },
    ],
    looks:
      shape.firmness === 'settled'
        ? []
        : [
            {
              check: 'rear-crack',
              component: id,
              ask: 'Crack at the weld toe, rear eye',
              minutes: 12,
              value: 14,
              compulsory: shape.firmness === 'open',
              why: 'It guards life.',
              stage: 'fitted',
              setup: null,
            },
          ],
    cautions: [
      {
        id: 'axle-stands',
        text: 'Suspension part under load. The vehicle maker’s data, local roadworthiness rules and a qualified inspection come first.',
        source: null,
        basis: 'common-practice',
      },
    ],
    facts: [
      {
        check: 'rear-toe',
        state: id === 'arm-left' ? 'final' : 'evidence',
        possible: [3, 4, 5],
        gradeLow: 3,
        gradeHigh: 5,
        notes: id === 'arm-left' ? ['Looked sound fitted, pitted once cleaned.'] : [],
      },
    ],
    roadworthiness: [],
    yearsLeft: { low: 2, high: 5, because: 'Pits grow at the rate of steel in salted air.', check: 'rear-toe' },
    atStake: 20,
    distrusted: [],
  };
}

export function score(): ScoreOut {
  const components = PARTS.map((_, n) => component(n));
  return ScoreOut.parse({
    rubricVersion: '0123456789abcdef',
    seed: 1,
    assessment: {
      id: 'halvern-tern',
      name: 'Halvern Tern 1600',
      currency: 'GBP',
      wantedFinish: 'smart',
      date: '2026-03-12',
    },
    components,
    alwaysNew: [
      {
        id: 'hub-nut',
        component: 'hub',
        name: 'Hub nut',
        kind: null,
        count: 1,
        thread: 'M20 × 1.5',
        because: 'Staked once; the collar will not take a second.',
        source: null,
        basis: 'common-practice',
        money: { low: 4, usual: 5, high: 7 },
      },
      {
        id: 'split-pin',
        component: 'ball-joint',
        name: 'Split pin',
        kind: null,
        count: 6,
        thread: '3.2 × 32',
        because: 'Bent once.',
        source: null,
        basis: 'common-practice',
        money: { low: 1, usual: 1, high: 2 },
      },
    ],
    nextLooks: components.flatMap((c) => c.looks),
    looksLeft: [],
    totals: { money: { low: 1250, usual: 1610, high: 2300 }, hours: { low: 44, usual: 57, high: 80 } },
    rustiness: [0.1, 0.2, 0.4, 0.2, 0.1],
    notes: [],
  });
}

export const me: Me = {
  role: 'own',
  device: null,
  name: 'This computer',
  transport: 'loopback',
  reloadsOffline: true,
  words: ['Only this computer can reach it. Nothing passes over a network.'],
  shared: true,
  addresses: ['http://192.0.2.17:8420'],
  fingerprint: null,
  version: '0.1.0',
  rubricVersion: '0123456789abcdef',
};

export function row(): AssessmentRow {
  const a = assessment();
  return {
    id: a.id,
    name: a.name,
    vehicle: a.vehicle ?? null,
    date: a.date,
    purpose: a.purpose,
    wantedFinish: a.wantedFinish,
    currency: a.currency,
    components: a.components.length,
    answered: 20,
    photos: 3,
    graders: ['R. Aldous'],
    demo: null,
    version: 1,
    createdAt: '2026-03-12T10:00:00Z',
    changedAt: '2026-03-14T10:00:00Z',
    deletedAt: null,
  };
}

export const demos: Demo[] = [
  { id: 'corner', name: 'One front corner', about: 'An invented saloon, half graded, with photos.', components: 14 },
];

const OUTLINE: [number, number][] = [
  [160, 120],
  [640, 140],
  [660, 480],
  [150, 470],
];

export function photos(): StoredPhoto[] {
  const base = {
    file: 'a.jpg',
    bytes: 1000,
    width: 800,
    height: 600,
    takenAt: '2026-03-12T10:00:00Z',
    addedAt: '2026-03-12T10:00:00Z',
    by: 'R. Aldous',
    check: null,
    hints: null,
    scale: null,
    struck: null,
    removedAt: null,
  };
  const measured = (value: number, low: number, high: number): StoredPhoto['measurement'] => ({
    file: 'a.jpg',
    fit: { ok: true, problems: [] },
    assessed: 'outline',
    rustAreaPercent: { value, low, high },
    grades: { iso4628_3: ['Ri 4', 'Ri 5'], astmD610: '2-G', iso10289: 2 },
    spots: { count: 9, spread: 'general', largestPercent: 8, medianPercent: 1, sizes: [1, 2, 3, 2, 1] },
    group: 1,
    method: 'model',
    ms: 120,
  });
  return [
    {
      ...base,
      id: 'p1',
      name: 'arm-left.jpg',
      component: 'arm-left',
      stage: 'cleaned',
      outline: OUTLINE,
      measurement: measured(29, 23, 35),
    },
    {
      ...base,
      id: 'p2',
      name: 'sill.jpg',
      component: 'sill-left',
      stage: 'fitted',
      outline: OUTLINE,
      measurement: measured(45, 22, 70),
    },
    {
      ...base,
      id: 'p3',
      name: 'far.jpg',
      component: null,
      stage: null,
      outline: null,
      measurement: {
        ...measured(5, 1, 9)!,
        rustAreaPercent: null,
        fit: {
          ok: false,
          problems: [{ id: 'too-small', what: 'The part fills a tenth of the picture', advice: 'Move closer' }],
        },
      },
    },
    { ...base, id: 'p4', name: 'tank.jpg', component: null, stage: null, outline: null, measurement: null },
  ];
}
