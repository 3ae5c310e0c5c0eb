import type { ComponentOut } from '../../../shared/index.ts';
import { optionFor, spreadOf } from '../data/rows.ts';
import { bare, duration, money } from '../format.ts';
import { words } from '../words.ts';
import { Icon, Mark } from './mark.tsx';

const w = words.component;

/** An open verdict of a part that guards life: both ends drawn. */
export function Fork({ out, currency }: { out: ComponentOut; currency: string }) {
  const { verdict } = out;
  const open = out.knockOuts.find((knockOut) => knockOut.state === 'open');
  const look = out.looks.find((entry) => entry.compulsory) ?? out.looks[0];
  const ends = [
    { text: w.ifNot, action: verdict.action },
    { text: w.ifClear, action: verdict.ifClear! },
  ];
  return (
    <section className="sheet fork" aria-label={open?.text ?? ''}>
      <div className="fk-q">
        <Icon name="i-look" />
        <p>
          <b>{look?.ask ?? open?.text}</b>
          <span className="small quiet">
            {look ? duration(look.minutes) : ''}
            {look?.compulsory ? `, ${words.guardsLife}` : ''}
          </span>
        </p>
      </div>
      <svg className="fk-l" viewBox="0 0 60 120" preserveAspectRatio="none" aria-hidden="true">
        <path
          d="M0 60H22V22H60M22 60V98H60"
          fill="none"
          stroke="var(--iron)"
          strokeWidth="2"
          vectorEffect="non-scaling-stroke"
        />
      </svg>
      <div className="fk-b">
        {ends.map(({ text, action }) => {
          const option = optionFor(out, action);
          const cost = option ? spreadOf(option.money) : null;
          return (
            <p key={text}>
              <span className="num q">{text}</span>
              <Mark action={action} firmness="settled" quiet />
              <b>{words.Action[action]}</b>
              <span className="num">
                {cost ? `${words.setAside} ${money(cost.aside, currency)}, ${words.likely} ${bare(cost.likely)}` : ''}
              </span>
            </p>
          );
        })}
      </div>
    </section>
  );
}
