/**
 * The pairing code that came with the address, behind `#`, which no browser sends. It is taken out of the address bar before
 * anything is drawn, so that it is neither seen over a shoulder nor kept in the history.
 */
export const pairingCode: string = take();

function take(): string {
  if (location.pathname !== '/pair' || location.hash === '') return '';
  const code = location.hash.slice(1);
  history.replaceState(history.state, '', location.pathname);
  try {
    return decodeURIComponent(code);
  } catch {
    return code;
  }
}
