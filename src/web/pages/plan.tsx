import { useEffect, useRef } from 'react';
import { Link } from 'wouter';
import type { PlanOut } from '../../../shared/plan.ts';
import { sayTrouble } from '../data/client.ts';
import { usePlan } from '../data/use-plan.ts';
import { bare } from '../format.ts';
import { Frame } from '../parts/frame.tsx';
import { CautionLine, Empty, Trouble, Waiting } from '../parts/notices.tsx';
import { PlanBatches, PlanDiffers } from '../parts/plan-batches.tsx';
import { PlanDays } from '../parts/plan-days.tsx';
import { PlanDrivers, PlanLines } from '../parts/plan-drivers.tsx';
import { PlanLeft, PlanNext, PlanOffer, PlanOrder, PlanSpent } from '../parts/plan-left.tsx';
import { PlanTotals } from '../parts/plan-total.tsx';
import { RefitSheet } from '../parts/refit-sheet.tsx';
import { ShoppingList } from '../parts/shopping-list.tsx';
import { StripSheet } from '../parts/strip-sheet.tsx';
import { Tickets } from '../parts/tickets.tsx';
import { words } from '../words.ts';
import { planWords as w } from '../words-plan.ts';

const SHEETS = ['plan', 'strip', 'shopping', 'tickets', 'refit'] as const;
type Sheet = (typeof SHEETS)[number];

/** The whole job: what to set aside and why, and the sheets to work from. */
export function PlanPage({ id, sheet }: { id: string; sheet: string | undefined }) {
  const planned = usePlan(id);
  const { plan, assessment, trouble } = planned;
  const shown: Sheet = SHEETS.find((name) => name === sheet) ?? 'plan';
  const title = shown === 'plan' ? w.title(assessment?.name ?? '') : w.sheets[shown];
  return (
    <Frame title={title} assessment={id} section="plan" className={`pg-plan on-${shown}`}>
      <div className="title ttl2">
        <div>
          <h1>{title}</h1>
          <p className="quiet small">
            {shown === 'plan' ? assessment?.vehicle : assessment?.name}
            {plan
              ? `${assessment?.vehicle || shown !== 'plan' ? ' · ' : ''}${w.made(bare(plan.total.draws), plan.seed, plan.rubricVersion)}`
              : ''}
            {plan && planned.isPlanning ? ` · ${words.state.updating}` : ''}
          </p>
        </div>
        <span />
        <button type="button" className="btn pbtn" onClick={() => window.print()}>
          {w.print}
        </button>
      </div>
      <Sheets id={id} shown={shown} />
      {trouble ? (
        <Trouble title={trouble.title} text={trouble.text} onRetry={planned.retry} />
      ) : plan ? (
        <SheetOf plan={plan} sheet={shown} />
      ) : planned.planTrouble ? (
        <Empty title={w.none.title} text={`${w.none.text} ${sayTrouble(planned.planTrouble)}`}>
          <Link className="btn glove main" href={`/a/${id}`}>
            {w.none.button}
          </Link>
        </Empty>
      ) : (
        <Waiting what={assessment === null ? words.state.loading : w.working} />
      )}
    </Frame>
  );
}

/** The ways to the sheets: on a phone a row that scrolls, so the one shown is brought into sight. */
function Sheets({ id, shown }: { id: string; shown: Sheet }) {
  const row = useRef<HTMLElement>(null);
  // biome-ignore lint/correctness/useExhaustiveDependencies: it is the sheet shown that moves the row.
  useEffect(() => {
    const here = row.current?.querySelector<HTMLElement>('[aria-current]');
    if (row.current && here)
      row.current.scrollLeft = here.offsetLeft - (row.current.clientWidth - here.offsetWidth) / 2;
  }, [shown]);
  return (
    <nav className="sheets" aria-label={w.sheetsLabel} ref={row}>
      {SHEETS.map((name) => (
        <Link
          key={name}
          className="btn glove"
          href={name === 'plan' ? `/a/${id}/plan` : `/a/${id}/plan/${name}`}
          aria-current={name === shown ? 'page' : undefined}
        >
          {w.sheets[name]}
        </Link>
      ))}
    </nav>
  );
}

function SheetOf({ plan, sheet }: { plan: PlanOut; sheet: Sheet }) {
  const { currency } = plan.assessment;
  switch (sheet) {
    case 'plan':
      return <Overview plan={plan} />;
    case 'strip':
      return plan.strip && plan.strip.steps.length > 0 ? <StripSheet strip={plan.strip} /> : <Nothing />;
    case 'shopping':
      return plan.shopping ? <ShoppingList shopping={plan.shopping} currency={currency} /> : <Nothing />;
    case 'tickets':
      return plan.tickets && plan.tickets.length > 0 ? <Tickets tickets={plan.tickets} /> : <Nothing />;
    case 'refit':
      return plan.refit && plan.refit.steps.length > 0 ? <RefitSheet refit={plan.refit} /> : <Nothing />;
  }
}

function Nothing() {
  return <p className="sheet pad quiet">{w.noSheet}</p>;
}

function Overview({ plan }: { plan: PlanOut }) {
  return (
    <>
      <div className="two">
        <div className="stack">
          <PlanTotals plan={plan} />
          <PlanDrivers plan={plan} />
          <PlanDays plan={plan} />
        </div>
        <div className="stack">
          <PlanNext plan={plan} />
          <PlanOffer plan={plan} />
          <PlanBatches plan={plan} />
          <PlanDiffers plan={plan} />
          <PlanSpent plan={plan} />
        </div>
      </div>
      <div className="two below">
        <PlanLeft plan={plan} />
        <PlanOrder plan={plan} />
      </div>
      <div className="below">
        <PlanLines plan={plan} />
      </div>
      {plan.notes.length > 0 ? (
        <section className="sheet pad below">
          <h2>{w.notes}</h2>
          <ul className="plain">
            {plan.notes.map((note) => (
              <li key={note}>{note}</li>
            ))}
          </ul>
        </section>
      ) : null}
      <div className="below">
        <CautionLine text={w.caution} />
      </div>
    </>
  );
}
