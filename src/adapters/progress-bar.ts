const WIDTH = 30;
/** To the line's beginning, and everything behind it gone. */
const AFRESH = '\r\u001b[K';
/** Too little has been done before this to say how long the rest takes. */
const ESTIMATE_FROM_MS = 3000;

/** A bar on a terminal, with lines that come while it stands. */
export interface ProgressBar {
  /** Show how far it is; the last step ends the bar, and the next one begins another. */
  step(done: number, total: number): void;
  /** Write a line above the bar. */
  line(text: string): void;
}

/**
 * Draw a progress bar.
 *
 * @param write Writes to the terminal
 * @param nowMs A clock that only goes forward, milliseconds
 */
export function progressBar(write: (text: string) => void, nowMs: () => number): ProgressBar {
  let bar = '';
  let began: number | undefined;
  return {
    step(done, total) {
      began ??= nowMs();
      const spent = nowMs() - began;
      const filled = Math.round((done / total) * WIDTH);
      const left = done < total && spent >= ESTIMATE_FROM_MS ? `, ${about((spent / done) * (total - done))} left` : '';
      bar = `[${'#'.repeat(filled)}${' '.repeat(WIDTH - filled)}] ${done} of ${total}${left}`;
      write(`${AFRESH}${bar}`);
      if (done < total) return;
      write('\n');
      bar = '';
      began = undefined;
    },
    line(text) {
      write(bar === '' ? `${text}\n` : `${AFRESH}${text}\n${bar}`);
    },
  };
}

function about(ms: number): string {
  const seconds = Math.ceil(ms / 1000);
  return seconds < 90 ? `about ${seconds} s` : `about ${Math.round(seconds / 60)} min`;
}
