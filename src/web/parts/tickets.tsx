import type { Ticket, TicketLine } from '../../../shared/strip.ts';
import { bare, figure } from '../format.ts';
import { planWords } from '../words-plan.ts';
import { CautionLine } from './notices.tsx';
import { SaidLine, SaidList } from './said.tsx';

const w = planWords.ticket;

/** One slip for each box that goes out; each prints on a page of its own. */
export function Tickets({ tickets }: { tickets: readonly Ticket[] }) {
  return (
    <>
      {tickets.map((ticket) => (
        <TicketSheet key={ticket.id} ticket={ticket} />
      ))}
    </>
  );
}

function TicketSheet({ ticket }: { ticket: Ticket }) {
  const { total, tally } = ticket;
  return (
    <section className="sheet pad ticket">
      <div className="head">
        <h2>{ticket.name}</h2>
        <span className="note">{w.lead(planWords.lead(bare(ticket.leadDays.low), bare(ticket.leadDays.high)))}</span>
      </div>
      <p className="strong">
        {ticket.finish}
        {ticket.colour ? `, ${ticket.colour}` : ''}
        {ticket.thicknessUm === null ? '' : `, ${w.um(figure(ticket.thicknessUm))}`}
      </p>
      {ticket.cautions.map((caution) => (
        <CautionLine key={caution.text} text={caution.text} />
      ))}
      <div className="scrollx">
        <table className="shop">
          <thead>
            <tr>
              <th>{w.th.count}</th>
              <th>{w.th.part}</th>
              <th>{w.th.metal}</th>
              <th className="r">{w.th.mass}</th>
              <th className="r">{w.th.area}</th>
              <th className="boxes">{w.outBox}</th>
              <th className="boxes">{w.backBox}</th>
            </tr>
          </thead>
          <tbody>
            {ticket.lines.map((line) => (
              <Line key={line.component} line={line} />
            ))}
            <tr>
              <td className="q num strong">{total.pieces}</td>
              <td className="strong" colSpan={2}>
                {w.total}
              </td>
              <td className="r num strong" data-th={w.th.mass}>
                {figure(total.massKg)}
              </td>
              <td className="r num strong" data-th={w.th.area}>
                {figure(total.areaDm2)}
              </td>
              <td className="boxes" data-th={w.outBox}>
                {tally.out || ''}
              </td>
              <td className="boxes" data-th={w.backBox}>
                {tally.back || ''}
              </td>
            </tr>
          </tbody>
        </table>
      </div>
      {ticket.instructions.length > 0 ? (
        <>
          <h3 className="below">{w.instructions}</h3>
          <SaidList of={ticket.instructions} />
        </>
      ) : null}
      <p className="small below8">
        <b>{w.shopRefuses}:</b> {ticket.shopRefuses}
      </p>
      {ticket.refuseOnReturn.length > 0 ? (
        <>
          <h3 className="below">{w.refuse}</h3>
          <SaidList of={ticket.refuseOnReturn} />
        </>
      ) : null}
      <p className="small quiet below8">{tally.words}</p>
    </section>
  );
}

function Line({ line }: { line: TicketLine }) {
  const rows: [string, string][] = [
    [w.th.before, line.firstOff.join('; ')],
    [w.th.mask, line.mask.join('; ')],
    [w.holds, line.holds.join('; ')],
    [w.hardness, line.hardness ?? ''],
  ];
  return (
    <tr>
      <td className="q num">{line.count}</td>
      <td>
        <b>{line.name}</b>
        {line.thread ? <span className="quiet"> {[line.thread, line.class].filter(Boolean).join(', ')}</span> : null}
        {rows.map(([lead, text]) =>
          text === '' ? null : (
            <span className="small blockline" key={lead}>
              <b>{lead}:</b> {text}
            </span>
          ),
        )}
        {line.threadFit ? (
          <span className="small blockline">
            <SaidLine said={line.threadFit} lead={w.thread} />
          </span>
        ) : null}
        {line.hydrogen ? (
          <span className="small blockline">
            <SaidLine said={line.hydrogen} lead={w.hydrogen} />
          </span>
        ) : null}
        {line.mustNot.map((said) => (
          <span className="small blockline" key={said.rule}>
            <SaidLine said={said} lead={w.mustNot} />
          </span>
        ))}
        {line.note ? <span className="small quiet blockline">{line.note}</span> : null}
      </td>
      <td className="small" data-th={w.th.metal}>
        {line.metal}
      </td>
      <td className="r num" data-th={w.th.mass}>
        {figure(line.massKg)}
      </td>
      <td className="r num" data-th={w.th.area}>
        {figure(line.areaDm2)}
      </td>
      <td className="boxes num" data-th={w.outBox}>
        {line.out ?? ''}
      </td>
      <td className="boxes num" data-th={w.backBox}>
        {line.back ?? ''}
      </td>
    </tr>
  );
}
