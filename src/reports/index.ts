export type { Paint } from './lines.ts';
export { refitSheet } from './refit-sheet.ts';
export { sheetSummary } from './sheet-summary.ts';
export { shoppingSheet } from './shopping-sheet.ts';
export { stripSheet } from './strip-sheet.ts';
export { ticketSheet } from './ticket-sheet.ts';
