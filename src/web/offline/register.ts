/** Lets the page reload with the network down, where the browser allows it: over https, and on this computer. */
export function registerOffline(): void {
  if (!('serviceWorker' in navigator)) return;
  addEventListener('load', () => {
    navigator.serviceWorker.register('/sw.js').catch(() => undefined);
  });
}
