/** What this device remembers about the person who uses it. Losing it loses nothing but comfort. */
function read(key: string): string | null {
  try {
    return localStorage.getItem(`keepworthy.${key}`);
  } catch {
    return null;
  }
}

function write(key: string, value: string): void {
  try {
    localStorage.setItem(`keepworthy.${key}`, value);
  } catch {
    // A browser without storage forgets; nothing else follows from it.
  }
}

/** Name under which this device grades; empty until one is given. */
export function grader(): string {
  return read('grader') ?? '';
}
export function setGrader(name: string): void {
  write('grader', name);
}

export type Hand = 'left' | 'right';
export function hand(): Hand {
  return read('hand') === 'left' ? 'left' : 'right';
}
export function setHand(which: Hand): void {
  write('hand', which);
}

export function keysAreOn(): boolean {
  return read('keys') !== 'off';
}
export function setKeysOn(isOn: boolean): void {
  write('keys', isOn ? 'on' : 'off');
}

/** Assessment last looked at, so that the rubric's page can lead back to it. */
export function lastAssessment(): string | undefined {
  return read('last') ?? undefined;
}
export function rememberAssessment(id: string): void {
  write('last', id);
}

/** Minutes there are for looking; null without a bound. */
export function minutesThere(): number | null {
  const minutes = Number(read('minutes'));
  return Number.isFinite(minutes) && minutes > 0 ? minutes : null;
}
export function setMinutesThere(minutes: number | null): void {
  write('minutes', minutes === null ? '' : String(minutes));
}
