import { beforeAll, describe, expect, it } from 'vitest';
import { type Assessment, type Component, PlanOut, type Rubric } from '../../shared/index.ts';
import { plan, planMade } from '../../src/planning/index.ts';
import { assessmentOf, demo, rubric } from '../engine/real.ts';

const DATE = '2026-11-20';

/** A set of sound bolts whose plating is gone: cheap to plate with others, dear alone. */
function bolts(id: string, count: number, rest: Partial<Component> = {}): Component {
  const seen = (check: string, value: number | string) => ({ check, value, stage: 'cleaned' as const, date: DATE });
  return {
    id,
    name: `Bolts ${id}`,
    kind: 'threaded-fastener',
    count,
    area: 'front',
    stage: 'cleaned',
    properties: { thread: 'M10', class: '8.8', lengthMm: 45, duty: 'body', platedBefore: 'zinc' },
    supplies: [{ id: 'new', type: 'new', price: [5, 6, 8], leadDays: [3, 7, 14], misfit: 0.02, from: 'own-judgement' }],
    observations: [
      seen('thread-state', 1),
      seen('thread-loss', 0),
      seen('necking', 0),
      seen('under-head-pits', 0),
      seen('hexagon', 1),
      seen('heat-colour', 'none'),
      seen('bow', 'straight'),
      seen('head-mark', 'readable'),
      seen('plating', 4),
    ],
    ...rest,
  };
}

const smart = (components: Component[], rest: Partial<Assessment> = {}): Assessment =>
  assessmentOf(components, { wantedFinish: 'smart', ...rest });

/** The rubric with no way to finish a fastener but at the plater. */
const platerOnly: Rubric = {
  ...rubric,
  kinds: rubric.kinds.map((kind) => (kind.id === 'threaded-fastener' ? { ...kind, routes: ['zinc-5'] } : kind)),
};

const OPTIONS = { seed: 1, draws: 400 };

describe('plan()', () => {
  let demoPlan: PlanOut;
  beforeAll(() => {
    demoPlan = plan(rubric, demo(), { seed: 1 });
  });

  it('gives the contract that it says it gives', () => {
    expect(PlanOut.safeParse(JSON.parse(JSON.stringify(demoPlan))).error?.issues).toBeUndefined();
  });

  it('gives the same bytes for the same seed, other draws for another', () => {
    const text = JSON.stringify(demoPlan);
    expect(JSON.stringify(plan(rubric, demo(), { seed: 1 }))).toBe(text);
    expect(plan(rubric, demo(), { seed: 2 }).total.money.p80).not.toBe(demoPlan.total.money.p80);
  });

  it('orders low, likely and set aside, in every total, line and split', () => {
    const all = [
      demoPlan.total.money,
      demoPlan.total.hours,
      demoPlan.days,
      ...demoPlan.total.lines.flatMap((line) => [line.money, line.hours]),
    ];
    for (const { p10, p50, p80 } of all) {
      expect(p10).toBeLessThanOrEqual(p50);
      expect(p50).toBeLessThanOrEqual(p80);
    }
    const { money, contingency } = demoPlan.total;
    expect(contingency.money).toBeCloseTo(money.p80 - money.p50, 2);
    expect(demoPlan.setAside.money).toBe(money.p80);
  });

  it('says that the sum of the likely values is not the likely sum, and by how much', () => {
    const { statement, sumOfLikely, money } = demoPlan.total;
    expect(statement).toContain('is not the likely sum');
    expect(sumOfLikely.money).toBeLessThan(money.p50);
    expect(statement).toContain(String(Math.round(sumOfLikely.money)));
  });

  it('adds up: the means of the lines make the mean of the whole, their shares of the spread make one', () => {
    const { simulation } = planMade(rubric, demo(), OPTIONS);
    for (const side of ['money', 'hours'] as const) {
      for (let d = 0; d < simulation.draws; d += 37) {
        const sum = simulation.lines.reduce((total, line) => total + line[side][d]!, 0);
        expect(sum).toBeCloseTo(simulation[side][d]!, 6);
      }
    }
  });

  // Two ways to the same figure: the joint choice adds up expected costs, the simulation draws them. With an estimator who is
  // neither hopeful nor gloomy and parts that are fully known they must meet; four standard errors of the mean.
  it('draws on average what the joint choice expects', () => {
    const { planning } = platerOnly.settings;
    const sober = (points: typeof planning.optimism.hours) => ({
      ...points,
      value: [1, 1, 1] as [number, number, number],
    });
    const neutral: Rubric = {
      ...platerOnly,
      settings: {
        ...platerOnly.settings,
        planning: {
          ...planning,
          optimism: { hours: sober(planning.optimism.hours), money: sober(planning.optimism.money) },
        },
      },
    };
    const parts = [
      arm('left', 'black'),
      arm('right', 'black'),
      ...[...Array(9).keys()].map((k) => bolts(`set-${k}`, 5)),
    ];
    const { simulation, chosen, job, plan: made } = planMade(neutral, smart(parts), { seed: 4, draws: 4000 });
    expect(made.batches.length).toBeGreaterThan(0);
    const looks = simulation.lines.filter(({ id }) => id === 'looks');
    const costs = simulation.money.map(
      (money, d) =>
        money + (simulation.hours[d]! - looks.reduce((sum, line) => sum + line.hours[d]!, 0)) * job.sliders.hourRate,
    );
    const mean = costs.reduce((a, b) => a + b, 0) / costs.length;
    const error = Math.sqrt(costs.reduce((sum, cost) => sum + (cost - mean) ** 2, 0)) / costs.length;
    expect(Math.abs(mean - chosen.cost)).toBeLessThan(4 * error + 0.005 * chosen.cost);
  });

  it('names the rule or the rate behind every line', () => {
    for (const line of demoPlan.total.lines) expect(`${line.because.rule} ${line.because.basis}`).toMatch(/\S+ \S+/);
    for (const action of demoPlan.nextFive.actions) expect(action.why).not.toBe('');
  });

  it('keeps the draws of a part when another is added', () => {
    const one = planMade(rubric, smart([bolts('a', 4)]), OPTIONS).simulation.lines[0]!;
    const two = planMade(rubric, smart([bolts('b', 2), bolts('a', 4)]), OPTIONS).simulation.lines[1]!;
    // Alone it is bought, with others plated: only where the way is the same must the draws be.
    const three = planMade(rubric, smart([bolts('c', 9), bolts('b', 2), bolts('a', 4)]), OPTIONS);
    expect(one.id).toBe(two.id);
    const again = planMade(rubric, smart([bolts('a', 4), bolts('b', 2), bolts('c', 9)]), OPTIONS);
    const of = (made: typeof three) => made.simulation.lines.find((line) => line.id === 'a|0')!;
    expect([...of(three).hours]).toEqual([...of(again).hours]);
  });
});

describe('batches', () => {
  // Nothing else goes: four bolts at 6 are bought for about 24 rather than plated alone for a minimum of 90; with 40 more of
  // them the minimum is shared and all are plated.
  it('are filled together where one part alone would not go', () => {
    const alone = plan(platerOnly, smart([bolts('a', 4)]), OPTIONS);
    expect(alone.verdicts[0]!.joint.action).toBe('replace');
    const many = Array.from({ length: 10 }, (_, k) => bolts(`set-${k}`, 5));
    const together = plan(platerOnly, smart(many), OPTIONS);
    expect(new Set(together.verdicts.map(({ joint }) => joint.action))).toEqual(new Set(['refinish']));
    expect(together.verdicts.every(({ differs, why }) => differs && why !== null)).toBe(true);
    const [batch] = together.batches;
    expect(batch!.pieces).toBe(50);
    expect(batch!.bill.usual).toBe(Math.max(batch!.minimum.usual, batch!.work.usual) + batch!.setUp.usual);
    for (const part of batch!.parts) expect(part.adds).toBeLessThan(part.alone);
  });

  it('cost no less for one part more, and no less when split', () => {
    const sizes = [2, 5, 9, 30];
    const bills = sizes.map((_, k) => {
      const parts = sizes.slice(0, k + 1).map((count, i) => bolts(`set-${i}`, count, { massKg: 0.4 }));
      const going = plan(platerOnly, smart([...parts, bolts('much', 60, { massKg: 0.2 })]), OPTIONS);
      return going.batches.find(({ process }) => process.startsWith('zinc'))!.bill.usual;
    });
    for (let k = 1; k < bills.length; k++) expect(bills[k]!).toBeGreaterThanOrEqual(bills[k - 1]!);
  });

  it('are apart by colour, each with its set-up, and by metal', () => {
    const powderOnly: Rubric = {
      ...rubric,
      kinds: rubric.kinds.map((kind) =>
        kind.id === 'pressed-steel-arm' ? { ...kind, routes: ['blast-crack-test-powder'] } : kind,
      ),
    };
    const parts = [arm('a', 'red'), arm('b', 'red'), arm('c', 'black'), arm('d', 'red', { material: 'light-alloy' })];
    const { batches } = plan(powderOnly, smart(parts), OPTIONS);
    expect(batches.map(({ id, parts: of }) => [id, of.map(({ component }) => component)])).toEqual([
      ['powder.black', ['c']],
      ['powder.red', ['a', 'b']],
      ['powder.red.light-alloy', ['d']],
    ]);
    for (const { setUp, bill, minimum, work } of batches) {
      expect(setUp.usual).toBeGreaterThan(0);
      expect(bill.usual).toBeCloseTo(Math.max(minimum.usual, work.usual) + setUp.usual, 2);
    }
    // One trip to the shop, whatever goes in it.
    expect(batches.map(({ handlingHours }) => handlingHours.usual > 0)).toEqual([true, false, false]);
  });

  it('pay nothing but their work where the assessment says that they go anyway', () => {
    const made = plan(rubric, smart([bolts('a', 4)], { batchesGoing: ['zinc'] }), OPTIONS);
    const [batch] = made.batches;
    expect(batch).toMatchObject({ process: 'zinc', goesAnyway: true, slack: 0 });
    expect(batch!.bill.usual).toBe(batch!.work.usual);
  });
});

/** A lower arm, bare and sound but for its paint. */
function arm(id: string, colour: string, rest: Partial<Component> = {}): Component {
  const seen = (check: string, value: number | string) => ({ check, value, stage: 'bare' as const, date: DATE });
  return {
    id,
    name: `Arm ${id}`,
    kind: 'pressed-steel-arm',
    area: 'front',
    stage: 'bare',
    colour,
    areaDm2: 22,
    massKg: 3.1,
    supplies: [
      { id: 'new', type: 'new', price: [300, 400, 500], leadDays: [3, 7, 30], misfit: 0.02, from: 'own-judgement' },
    ],
    observations: [
      seen('face-rust', 3),
      seen('lip-pits', 1),
      seen('holed', 'holds'),
      seen('straightness', 0.3),
      seen('seat-hole', 'snug'),
      seen('drain-holes', 'open'),
      seen('eye-bore', 0.02),
      seen('earlier-repair', 'untouched'),
      seen('weld-crack', 'none'),
      seen('web-loss', 0),
      seen('inside-rust', 1),
    ],
    ...rest,
  };
}

describe('what is paid once', () => {
  it('is paid once for all that need it, and not at all when it is paid already', () => {
    const parts = [arm('left', 'black'), arm('right', 'black')];
    const charged = plan(rubric, smart(parts), OPTIONS).sharedCharges.find(({ charge }) => charge === 'alignment')!;
    expect(charged.covers.sort()).toEqual(['left', 'right']);
    expect(charged.ifEachPaid.money).toBeCloseTo(2 * charged.money.usual, 2);
    const paid = plan(rubric, smart(parts, { chargesPaid: ['alignment'] }), OPTIONS);
    expect(paid.sharedCharges.find(({ charge }) => charge === 'alignment')).toMatchObject({
      isPaid: true,
      money: { low: 0, usual: 0, high: 0 },
    });
    expect(paid.total.money.p80).toBeLessThan(plan(rubric, smart(parts), OPTIONS).total.money.p80);
  });

  // The new arm brings a joint with it: the worn joint is not bought a second time.
  it('counts what comes with another part', () => {
    const worn: Component = {
      id: 'joint',
      name: 'Ball joint',
      kind: 'track-rod-end',
      area: 'front',
      stage: 'off',
      sitsIn: 'left',
      supplies: [
        { id: 'new', type: 'new', price: [80, 100, 120], leadDays: [3, 7, 14], misfit: 0, from: 'own-judgement' },
      ],
      observations: [{ check: 'lift', value: 4, stage: 'fitted', date: DATE }],
    };
    const bent = arm('left', 'black', {
      supplies: [
        {
          id: 'with-joint',
          type: 'new',
          price: [140, 150, 160],
          leadDays: [3, 7, 14],
          misfit: 0,
          includes: ['track-rod-end'],
          from: 'own-judgement',
        },
        {
          id: 'bare-arm',
          type: 'pattern',
          price: [110, 120, 130],
          leadDays: [3, 7, 14],
          misfit: 0,
          from: 'own-judgement',
        },
      ],
    });
    bent.observations = bent.observations!.map((o) => (o.check === 'straightness' ? { ...o, value: 8 } : o));
    const made = plan(rubric, smart([bent, worn]), OPTIONS);
    const of = (id: string) => made.parts.find((part) => part.component === id)!;
    expect(of('left').supply).toBe('with-joint');
    expect(of('joint')).toMatchObject({ action: 'replace', comesWith: 'left', supply: null });
  });

  it('replaces a spring with its pair, and keeps the sound one as a spare', () => {
    const made = plan(rubric, demo(), OPTIONS);
    const of = (id: string) => made.parts.find((part) => part.component === id)!;
    expect(of('spring-left').action).toBe('replace');
    expect(of('spring-right')).toMatchObject({ action: 'replace', spare: true });
  });
});

describe('days', () => {
  const slower = (factor: number): Rubric => ({
    ...platerOnly,
    charges: {
      ...rubric.charges,
      processes: rubric.charges.processes.map((process) => ({
        ...process,
        leadDays: process.leadDays.map((days) => days * factor) as [number, number, number],
      })),
    },
  });

  it('are never fewer when a shop takes longer', () => {
    const parts = [...Array(8).keys()].map((k) => bolts(`set-${k}`, 5));
    const lengths = [1, 2, 4].map((factor) => plan(slower(factor), smart(parts), OPTIONS).days);
    for (let k = 1; k < lengths.length; k++) {
      expect(lengths[k]!.p50).toBeGreaterThanOrEqual(lengths[k - 1]!.p50);
      expect(lengths[k]!.p80).toBeGreaterThan(lengths[k - 1]!.p80);
    }
    expect(lengths[2]!.criticalPath).toContain('send.zinc');
  });

  it('are fewer with more own hours a week, and say when the hours are assumed', () => {
    const of = (hoursPerWeek?: number) =>
      plan(rubric, { ...demo(), ...(hoursPerWeek ? { hoursPerWeek } : {}) }, OPTIONS).days;
    expect(of(20).p50).toBeLessThan(of(3).p50);
    const { hoursPerWeek: _, ...without } = demo();
    expect(plan(rubric, without, OPTIONS).days).toMatchObject({ hoursAssumed: true, hoursPerWeek: 6 });
  });
});

describe('the offer', () => {
  it('is what may go into the car less the likely cost, and less what is set aside', () => {
    const made = plan(
      rubric,
      { ...demo(), purpose: 'pre-purchase', purchase: { asking: 900, ceiling: 1500, worthDone: 2600 } },
      OPTIONS,
    );
    const offer = made.offer!;
    expect(offer.toPutRight).toEqual({
      p10: made.total.money.p10,
      p50: made.total.money.p50,
      p80: made.total.money.p80,
    });
    expect(offer.offerLessP50).toBeCloseTo(1500 - offer.toPutRight.p50, 2);
    expect(offer.offerLessP80).toBeCloseTo(1500 - offer.toPutRight.p80, 2);
    expect(offer.split.map(({ when }) => when)).toEqual(['before-driven', 'within-year', 'looks']);
    expect(offer.notSeen.map(({ component }) => component)).toContain('arm-right');
    for (const look of offer.looks) expect(look.worst.chance + look.best.chance).toBeLessThanOrEqual(1.002);
  });

  it('starts from the worth when done where that is lower, and says so when there is nothing to start from', () => {
    const of = (purchase: Assessment['purchase']) =>
      plan(rubric, { ...demo(), ...(purchase ? { purchase } : {}) }, OPTIONS).offer;
    expect(of({ ceiling: 3000, worthDone: 2000 })).toMatchObject({ startsFrom: 'worthDone' });
    expect(of({ asking: 100 })).toMatchObject({ startsFrom: null, offerLessP50: null, offerLessP80: null });
    expect(of(undefined)).toBeNull();
  });
});

describe('if it is left', () => {
  it('puts the fewest years first', () => {
    const { parts } = plan(rubric, demo(), OPTIONS).ifLeft;
    for (let k = 1; k < parts.length; k++) expect(parts[k]!.years.low).toBeGreaterThanOrEqual(parts[k - 1]!.years.low);
  });

  // Thickness over the rate of the air: 5 um in C3 (0.7 to 2.1 um a year, ISO 9223:2012 Table 2) is 2.4 to 7.1 years.
  it('gives the zinc its thickness over the rate of the air', () => {
    const { zinc } = plan(rubric, smart([bolts('a', 4)], { batchesGoing: ['zinc'], atmosphere: 'C3' }), OPTIONS).ifLeft;
    expect(zinc[0]).toMatchObject({ um: 5, years: { low: 2.4, high: 7.1 } });
  });

  it('puts what is needed before driving first, and its running sum only rises', () => {
    const { order } = plan(rubric, demo(), OPTIONS).ifLeft;
    const ranks = order.map(({ why }) => ['Before', 'Within', 'For lo'].findIndex((word) => why.startsWith(word)));
    expect(ranks).toEqual([...ranks].sort((a, b) => a - b));
    for (let k = 1; k < order.length; k++)
      expect(order[k]!.moneySoFar).toBeGreaterThanOrEqual(order[k - 1]!.moneySoFar);
  });
});

describe('the next five', () => {
  it('are at most five, with a warning while many parts are off and none is finished', () => {
    const { nextFive } = plan(rubric, demo(), OPTIONS);
    expect(nextFive.actions.length).toBeLessThanOrEqual(5);
    expect(nextFive.warning).toMatch(/parts are off and none is finished/);
    const finished = {
      ...demo(),
      components: demo().components.map((c, i) => (i === 0 ? { ...c, stage: 'finished' as const } : c)),
    };
    expect(plan(rubric, finished, OPTIONS).nextFive.warning).toBeNull();
  });

  it('coat bare steel first', () => {
    const { actions } = plan(rubric, smart([arm('left', 'black'), bolts('a', 4)]), OPTIONS).nextFive;
    expect(actions[0]).toMatchObject({ sort: 'coat', components: ['left'] });
  });
});

describe('the joint draws', () => {
  const points = [1, 1, 1] as [number, number, number];
  const neutral = (given: Rubric): Rubric => {
    const { planning } = given.settings;
    const { hours, money } = planning.optimism;
    return {
      ...given,
      settings: {
        ...given.settings,
        planning: { ...planning, optimism: { hours: { ...hours, value: points }, money: { ...money, value: points } } },
      },
    };
  };

  // The rubric's correlation between the hours of two parts; standard error of a correlation r: (1 - r^2) / sqrt(n).
  it('let the hours of two parts rise and fall together as far as the rubric says', () => {
    const { simulation } = planMade(neutral(rubric), smart([arm('left', 'black'), arm('right', 'black')]), {
      seed: 2,
      draws: 5000,
    });
    const scores = simulation.lines.slice(0, 2).map((line) => [...line.hours].map((hours) => Math.log(hours)));
    const correlation = correlationOf(scores[0]!, scores[1]!);
    const r = rubric.settings.correlation.value;
    expect(Math.abs(correlation - r)).toBeLessThan((4 * (1 - r * r)) / Math.sqrt(5000) + 0.02);
  });

  it('put the hours of a workshop into the money, at its rate', () => {
    const parts = [arm('left', 'black')];
    const own = planMade(neutral(rubric), smart(parts), OPTIONS);
    const shop = planMade(neutral(rubric), smart(parts, { rates: { shop: [60, 60, 60], labour: 'shop' } }), OPTIONS);
    expect(shop.plan.parts[0]!.option).toBe(own.plan.parts[0]!.option);
    expect(shop.plan.total.hours.p80).toBe(0);
    for (let d = 0; d < 400; d += 31) {
      const wanted = own.simulation.money[d]! + 60 * own.simulation.hours[d]!;
      expect(shop.simulation.money[d]!).toBeCloseTo(wanted, 6);
    }
  });

  it('replace a part as often as its open look goes badly, and pay nothing for it otherwise', () => {
    const unseen = assessmentOf([
      { id: 'arm', name: 'Arm', kind: 'pressed-steel-arm', area: 'front', stage: 'fitted' },
    ]);
    const { plan: made, simulation, chosen } = planMade(rubric, unseen, { seed: 5, draws: 2000 });
    const [part] = made.parts;
    expect(part!.ifClear).toMatchObject({ action: 'reuse' });
    const { held, prepared } = chosen.units[0]!;
    const fired = [...prepared.drawn.effectOf].map((k) => (prepared.drawn.effects[k]! & held!.bits) !== 0);
    expect(fired.filter(Boolean).length / 2000).toBeCloseTo(part!.chance, 2);
    const { money } = simulation.lines[0]!;
    fired.forEach((bad, d) => {
      if (bad) expect(money[d]!).toBeGreaterThan(0);
    });
    expect(money.filter((value) => value === 0).length).toBeGreaterThan(0);
  });
});

function correlationOf(a: readonly number[], b: readonly number[]): number {
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const [meanA, meanB] = [mean(a), mean(b)];
  const sum = (pick: (i: number) => number) => a.reduce((total, _, i) => total + pick(i), 0);
  return (
    sum((i) => (a[i]! - meanA) * (b[i]! - meanB)) /
    Math.sqrt(sum((i) => (a[i]! - meanA) ** 2) * sum((i) => (b[i]! - meanB) ** 2))
  );
}
