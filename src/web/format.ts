/**
 * Numbers, money and dates as the page writes them. British forms throughout; `2,5` and `2.5` both read.
 */
const cache = new Map<string, Intl.NumberFormat>();

function moneyFormat(currency: string, digits: number): Intl.NumberFormat {
  const key = `${currency}${digits}`;
  let format = cache.get(key);
  if (!format) {
    format = new Intl.NumberFormat('en-GB', {
      style: 'currency',
      currency,
      currencyDisplay: 'narrowSymbol',
      minimumFractionDigits: digits,
      maximumFractionDigits: digits,
    });
    cache.set(key, format);
  }
  return format;
}

/** `£112`; below one with pence: `£0.20`. */
export function money(value: number, currency: string): string {
  const small = Math.abs(value) < 1 && Math.abs(value) >= 0.005;
  return moneyFormat(currency, small ? 2 : 0).format(value);
}

const plain = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 0 });
const oneDigit = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 1 });
const threeDigits = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 3 });

/** `1,610` without a currency sign, as under a heavier figure. */
export function bare(value: number): string {
  return Math.abs(value) < 1 ? oneDigit.format(value) : plain.format(value);
}

/** A figure as measured: up to three places. */
export function figure(value: number): string {
  return threeDigits.format(value);
}

/** Hours with one place below ten. */
export function hours(value: number): string {
  return value < 10 ? oneDigit.format(value) : plain.format(value);
}

/** `7 min`, `1 h 10 min`. */
export function duration(minutes: number): string {
  const whole = Math.max(0, Math.round(minutes));
  if (minutes > 0 && whole < 1) return '1 min';
  if (whole < 90) return `${whole} min`;
  const h = Math.floor(whole / 60);
  const rest = Math.round((whole % 60) / 5) * 5;
  return rest === 0 || rest === 60 ? `${h + (rest === 60 ? 1 : 0)} h` : `${h} h ${rest} min`;
}

/** A sentence with its full stop, and only one. */
export function sentence(text: string): string {
  return /[.?:]$/.test(text.trim()) ? text.trim() : `${text.trim()}.`;
}

/** Share as whole hundredths: 0.684 gives 68. */
export function hundredths(share: number): number {
  return Math.round(share * 100);
}

/** `12 March`, with the year when it is not this one. */
export function day(date: string, now = new Date()): string {
  const at = new Date(date);
  if (Number.isNaN(at.getTime())) return date;
  const sameYear = at.getFullYear() === now.getFullYear();
  return at.toLocaleDateString('en-GB', {
    day: 'numeric',
    month: 'long',
    ...(sameYear ? {} : { year: 'numeric' }),
  });
}

/** Today as the calendar date of this place. */
export function today(now = new Date()): string {
  return `${now.getFullYear()}-${String(now.getMonth() + 1).padStart(2, '0')}-${String(now.getDate()).padStart(2, '0')}`;
}

/**
 * Reads a typed figure. A comma and a point are both a decimal mark when there is one of them; with both, or with
 * groups of three, the last mark is the decimal one.
 *
 * @param text What was typed
 * @returns The figure, or null when it is not one
 * @example readFigure('2,5') // 2.5
 */
export function readFigure(text: string): number | null {
  let t = text
    .trim()
    .replace(/[\s\u00a0']/g, '')
    .replace(/^[£$€]/, '');
  if (t === '') return null;
  const comma = t.lastIndexOf(',');
  const point = t.lastIndexOf('.');
  if (comma >= 0 && point >= 0) t = comma > point ? t.replaceAll('.', '').replace(',', '.') : t.replaceAll(',', '');
  else t = t.replace(',', '.');
  if (!/^[-+]?(?:\d+\.?\d*|\.\d+)$/.test(t)) return null;
  return Number(t);
}

/** 80 % point of a three-point figure: what to set aside. Low, usual and high are its 10, 50 and 90 % points. */
export function setAside(range: { usual: number; high: number }): number {
  if (range.usual <= 0 || range.high <= range.usual) return range.high;
  return range.usual * (range.high / range.usual) ** (Z80 / Z90);
}

/** Standard scores of the 80 and 90 % points, normal tables. */
const Z80 = 0.8416212;
const Z90 = 1.2815516;
