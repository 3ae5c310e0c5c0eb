import { type FormEvent, useEffect, useRef, useState } from 'react';
import { useLocation } from 'wouter';
import type { Assembly, Assessment, Atmosphere, Rubric, RuleBook, WantedFinish } from '../../../shared/index.ts';
import { call, Refused, sayTrouble } from '../data/client.ts';
import { queries } from '../data/queries.ts';
import { duration, readFigure, today } from '../format.ts';
import { words } from '../words.ts';
import { FINISH_CHOICES } from './choices.ts';
import { Field, Select, type Wrong, WrongNote } from './field.tsx';

const w = words.assessments;

/** Assemblies to start from, and below them the few questions that a new assessment asks. */
export function AssemblyPicker({ rubric }: { rubric: Rubric }) {
  const [chosen, setChosen] = useState<Assembly | 'one' | null>(null);
  const name = chosen === 'one' ? w.oneKind : chosen?.name;
  return (
    <>
      <ul className="asm">
        {rubric.assemblies.map((assembly) => (
          <li key={assembly.id}>
            <button type="button" aria-pressed={chosen === assembly} onClick={() => setChosen(assembly)}>
              <b>{assembly.name}</b>
              <span className="small quiet">{aboutAssembly(assembly, rubric)}</span>
            </button>
          </li>
        ))}
        <li>
          <button type="button" aria-pressed={chosen === 'one'} onClick={() => setChosen('one')}>
            <b>{w.oneKind}</b>
            <span className="small quiet">{words.rubric.find}</span>
          </button>
        </li>
      </ul>
      {chosen ? <NewForm key={name} rubric={rubric} chosen={chosen} title={w.chosen(name ?? '')} /> : null}
    </>
  );
}

function aboutAssembly(assembly: Assembly, rubric: Rubric): string {
  const parts = partsOf(assembly, rubric);
  const kinds = new Map(rubric.kinds.map((kind) => [kind.id, kind]));
  const checks = parts.flatMap((part) => kinds.get(part.kind)?.checks ?? []);
  const minutes = checks
    .filter((check) => check.earliestStage === 'fitted')
    .reduce((sum, check) => sum + check.minutes, 0);
  return `${w.parts(parts.length, checks.length)}, ${w.minutes(duration(minutes))}`;
}

function partsOf(assembly: Assembly, rubric: Rubric): Assembly['components'] {
  const inside = (assembly.includes ?? []).flatMap((id) => {
    const other = rubric.assemblies.find((entry) => entry.id === id);
    return other ? partsOf(other, rubric) : [];
  });
  return [...assembly.components, ...inside];
}

/** What was typed, as typed: it stays when the server refuses it. */
interface Typed {
  name: string;
  vehicle: string;
  kind: string;
  finish: WantedFinish;
  purpose: Assessment['purpose'];
  years: string;
  own: string;
  currency: string;
  atmosphere: Atmosphere;
  ruleBook: RuleBook;
}

const CURRENCIES = ['GBP', 'EUR', 'USD', 'NZD', 'AUD', 'CAD', 'CHF', 'SEK', 'NOK', 'DKK', 'PLN', 'CZK', 'JPY'] as const;

function NewForm({ rubric, chosen, title }: { rubric: Rubric; chosen: Assembly | 'one'; title: string }) {
  const [, go] = useLocation();
  const [typed, setTyped] = useState<Typed>(() => ({
    name: chosen === 'one' ? '' : chosen.name,
    vehicle: '',
    kind: rubric.kinds[0]?.id ?? '',
    finish: 'serviceable',
    purpose: 'scope',
    years: '8',
    own: String(rubric.prices.ownRate.value),
    currency: rubric.prices.base,
    atmosphere: 'C3',
    ruleBook: 'none',
  }));
  const [wrong, setWrong] = useState<Partial<Record<keyof Typed | 'all', Wrong>>>({});
  const [isBusy, setBusy] = useState(false);
  const form = useRef<HTMLFormElement>(null);
  // On a phone the form stands far below what was tapped.
  useEffect(() => {
    // Newer browsers answer with a promise, which an effect must not give back.
    void form.current?.scrollIntoView({ block: 'nearest' });
  }, []);
  const set = (change: Partial<Typed>) => setTyped((before) => ({ ...before, ...change }));

  const start = async (event: FormEvent) => {
    event.preventDefault();
    const found: typeof wrong = {};
    const years = readFigure(typed.years);
    const own = readFigure(typed.own);
    if (typed.name.trim() === '') found.name = { title: w.name };
    if (years === null || years < 0 || years > 60) found.years = { title: words.round.notNumber(typed.years, '8') };
    if (own === null || own < 0) found.own = { title: words.round.notNumber(typed.own, '18') };
    setWrong(found);
    if (Object.keys(found).length > 0) return;
    setBusy(true);
    try {
      const made = await call('createAssessment', {
        json: {
          name: typed.name.trim(),
          ...(chosen === 'one' ? { kind: typed.kind } : { assembly: chosen.id }),
          fields: {
            ...(typed.vehicle.trim() ? { vehicle: typed.vehicle.trim() } : {}),
            date: today(),
            purpose: typed.purpose,
            wantedFinish: typed.finish,
            horizonYears: years!,
            currency: typed.currency,
            rates: { own: own! },
            atmosphere: typed.atmosphere,
            ruleBook: typed.ruleBook,
          },
        },
      });
      await queries.invalidateQueries({ queryKey: ['list'] });
      go(`/a/${made.id}/round`);
    } catch (error) {
      const fault = error instanceof Refused ? error.problem.faults?.[0] : undefined;
      const field = FIELD_OF[fault?.path.split('.').at(-1) ?? ''];
      setWrong({ [field ?? 'all']: { title: sayTrouble(error) } });
    } finally {
      setBusy(false);
    }
  };

  return (
    <form ref={form} className="newform" onSubmit={start} noValidate>
      <h3>{title}</h3>
      <div className="fields">
        <Field
          label={w.name}
          note={w.nameHint}
          value={typed.name}
          wrong={wrong.name}
          required
          onChange={(event) => set({ name: event.target.value })}
        />
        <Field label={w.vehicle} value={typed.vehicle} onChange={(event) => set({ vehicle: event.target.value })} />
        {chosen === 'one' ? (
          <Select
            label={words.rubric.find}
            value={typed.kind}
            options={rubric.kinds.map((kind) => [kind.id, kind.name] as const)}
            onPick={(kind) => set({ kind })}
          />
        ) : null}
        <Select label={w.finish} value={typed.finish} options={FINISH_CHOICES} onPick={(finish) => set({ finish })} />
        <Select
          label={w.purpose}
          value={typed.purpose}
          options={Object.entries(words.purpose) as [Assessment['purpose'], string][]}
          onPick={(purpose) => set({ purpose })}
        />
        <Field
          label={w.horizon}
          inputMode="decimal"
          value={typed.years}
          wrong={wrong.years}
          onChange={(event) => set({ years: event.target.value })}
        />
        <Select
          label={w.currency}
          value={typed.currency}
          options={[...new Set([rubric.prices.base, ...CURRENCIES])].map((code) => [code, code] as const)}
          onPick={(currency) => set({ currency })}
        />
        <Field
          label={w.own(typed.currency)}
          inputMode="decimal"
          value={typed.own}
          wrong={wrong.own}
          onChange={(event) => set({ own: event.target.value })}
        />
        <Select
          label={w.atmosphere}
          value={typed.atmosphere}
          options={Object.entries(w.atmospheres) as [Atmosphere, string][]}
          onPick={(atmosphere) => set({ atmosphere })}
        />
        <Select
          label={w.ruleBook}
          value={typed.ruleBook}
          options={Object.entries(w.ruleBooks) as [RuleBook, string][]}
          onPick={(ruleBook) => set({ ruleBook })}
        />
      </div>
      {wrong.all ? <WrongNote wrong={wrong.all} /> : null}
      <button type="submit" className="btn glove main" disabled={isBusy}>
        {isBusy ? w.starting : w.start}
      </button>
    </form>
  );
}

const FIELD_OF: Record<string, keyof Typed | undefined> = {
  name: 'name',
  vehicle: 'vehicle',
  kind: 'kind',
  horizonYears: 'years',
  own: 'own',
  currency: 'currency',
};
