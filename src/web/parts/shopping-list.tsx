import type { ShoppingLine, ShoppingOut } from '../../../shared/strip.ts';
import { bare, figure, money } from '../format.ts';
import { words } from '../words.ts';
import { planWords } from '../words-plan.ts';

const w = planWords.shopping;

/** What to buy, by where it is bought. */
export function ShoppingList({ shopping, currency }: { shopping: ShoppingOut; currency: string }) {
  return (
    <section className="sheet pad">
      <p className="lede strong">
        {w.total(money(shopping.money.usual, currency), money(shopping.money.high, currency))}
      </p>
      {shopping.groups.map((group) => (
        <section key={group.supplier} className="shopgroup">
          <div className="head">
            <h2>{group.name}</h2>
            <span className="note">
              {w.group(
                money(group.money.usual, currency),
                group.leadDays ? planWords.lead(bare(group.leadDays.low), bare(group.leadDays.high)) : null,
              )}
            </span>
          </div>
          {group.note ? <p className="small quiet">{group.note}</p> : null}
          <table className="shop">
            <thead>
              <tr>
                <th>{w.th.count}</th>
                <th>{w.th.what}</th>
                <th className="only-desk">{w.th.spec}</th>
                <th className="only-desk">{w.th.days}</th>
                <th className="r">{currency}</th>
              </tr>
            </thead>
            <tbody>
              {group.lines.map((line) => (
                <Line key={line.id} line={line} />
              ))}
            </tbody>
          </table>
        </section>
      ))}
      {shopping.unobtainable.length > 0 ? (
        <>
          <h2 className="below">{w.notHad}</h2>
          <ul className="plain">
            {shopping.unobtainable.map((part) => (
              <li key={part.component}>
                <b>
                  {part.count > 1 ? `${part.count} × ` : ''}
                  {part.name}
                </b>{' '}
                <span className="small quiet">
                  {part.because} {w.ways}: {part.waysOut.join('; ')}.
                </span>
              </li>
            ))}
          </ul>
        </>
      ) : null}
      {shopping.notes.map((note) => (
        <p key={note} className="small quiet">
          {note}
        </p>
      ))}
    </section>
  );
}

function Line({ line }: { line: ShoppingLine }) {
  const spec = [line.thread, line.lengthMm === null ? null : `${figure(line.lengthMm)} mm`, line.class, line.finish]
    .filter(Boolean)
    .join(', ');
  const quiet = [
    line.supply && line.supply !== 'new' ? words.rubric.supply[line.supply] : null,
    line.for.length > 0 && line.sort !== 'part' ? w.forParts(line.for.map((part) => part.name).join(', ')) : null,
    line.because,
    line.note,
    line.keepOld,
  ]
    .filter((text) => text !== null && text !== '')
    .map((text) => `${text!.charAt(0).toUpperCase()}${text!.slice(1).replace(/\.$/, '')}`)
    .join('. ');
  return (
    <tr>
      <td className="q num">
        {figure(line.amount)}
        {line.unit === 'piece' ? '' : ` ${line.unit}`}
      </td>
      <td>
        {line.what}
        {line.isLongLead ? <span className="badge longlead">{w.long}</span> : null}
        <span className="small quiet only-phone-line"> {spec}</span>
        <span className="small quiet blockline">{quiet}</span>
      </td>
      <td className="only-desk quiet">{spec}</td>
      <td className="only-desk num">{line.leadDays ? bare(line.leadDays.usual) : ''}</td>
      <td className="r num">{line.money ? priceText(line.money) : w.noPrice}</td>
    </tr>
  );
}

function priceText({ low, high }: { low: number; high: number }): string {
  const [from, to] = [bare(low), bare(high)];
  return from === to ? from : `${from} – ${to}`;
}
