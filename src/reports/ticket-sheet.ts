import type { PlanOut, Ticket, TicketLine } from '../../shared/index.ts';
import { fold, heading, labelled, type Paint } from './lines.ts';

/** Workshop tickets at 80 columns, one after the other, each to be cut off and put in its box. */
export function ticketSheet(plan: PlanOut, paint: Paint): string[] {
  const { tickets, assessment } = plan;
  if (!tickets || tickets.length === 0) return [paint(`Tickets: ${assessment.name}`, 'bold'), 'Nothing goes out.'];
  return tickets.flatMap((ticket, i) => [...(i > 0 ? ['', '='.repeat(80)] : []), ...ticketLines(ticket, plan, paint)]);
}

function ticketLines(ticket: Ticket, plan: PlanOut, paint: Paint): string[] {
  const { total } = ticket;
  return [
    paint(`Ticket ${ticket.id}: ${ticket.name}`, 'bold'),
    ...fold('', `${plan.assessment.name}, ${plan.assessment.date}`),
    ...labelled(
      'Wanted',
      `${ticket.finish}${ticket.colour === null ? '' : `, colour ${ticket.colour}`}${ticket.thicknessUm === null ? '' : `; film ${ticket.thicknessUm} um`}`,
      0,
    ),
    ...labelled(
      'In all',
      `${total.pieces} pieces, ${total.massKg} kg, ${total.areaDm2} dm2; ${Math.round(ticket.leadDays.low)} to ${Math.round(ticket.leadDays.high)} days`,
      0,
    ),
    ...labelled('Tally', ticket.tally.words, 0),
    ...ticket.lines.flatMap((line) => partLines(line, paint)),
    ...heading('Say to the shop', paint),
    ...ticket.instructions.flatMap((line) => fold('  - ', line.text)),
    ...labelled('Refuses', ticket.shopRefuses, 2),
    ...heading('Refuse at the counter', paint),
    ...ticket.refuseOnReturn.flatMap((line) => fold('  - ', line.text)),
    ...(ticket.cautions.length > 0 ? ['', ...ticket.cautions.flatMap((caution) => fold('! ', caution.text))] : []),
    '',
    'Out: ____ pieces  date ________  signed ________',
    'Back: ____ pieces  date ________  signed ________  missing: ____',
  ];
}

function partLines(line: TicketLine, paint: Paint): string[] {
  const size = [line.thread, line.class === null ? null : `class ${line.class}`].filter((w) => w !== null).join(', ');
  const add = (label: string, texts: readonly (string | null)[]) => {
    const told = texts.filter((text): text is string => text !== null && text !== '');
    return told.length > 0 ? labelled(label, told.join('. ').replaceAll('..', '.'), 6) : [];
  };
  const tally =
    line.out === null
      ? []
      : [`${line.out} out, ${line.back ?? 0} back${line.missing > 0 ? `, ${line.missing} MISSING` : ''}`];
  return [
    '',
    ...fold('[ ] ', `${line.count} x ${line.name}${size === '' ? '' : `, ${size}`}`).map((text, i) =>
      i === 0 ? paint(text, 'bold') : text,
    ),
    ...add('Size', [
      `${line.metal}, ${line.massKg} kg (${line.massKgEach} each), ${line.areaDm2} dm2; ${line.sizeFrom}`,
    ]),
    ...add('Hard', [line.hardness]),
    ...add('First', [line.firstOff.join('; ')]),
    ...add('Hold', [line.holds.length > 0 ? `Not before: ${line.holds.join('; ')}` : null]),
    ...add('Mask', [line.mask.join('; ')]),
    ...add('Thread', [line.threadFit?.text ?? null]),
    ...add('Bake', [line.hydrogen?.text ?? null]),
    ...add(
      'Never',
      line.mustNot.map((said) => said.text),
    ),
    ...add('Note', [line.note]),
    ...add('Tally', tally),
  ];
}
