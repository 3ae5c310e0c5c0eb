/**
 * Opens what is folded away before it goes on paper, and closes it again afterwards. What a step says on demand stays closed: a
 * sheet to pin up must fit a wall.
 */
export function openForPrint(): void {
  let opened: HTMLDetailsElement[] = [];
  addEventListener('beforeprint', () => {
    opened = [...document.querySelectorAll<HTMLDetailsElement>('details:not([open], .stepmore)')];
    for (const details of opened) details.open = true;
  });
  addEventListener('afterprint', () => {
    for (const details of opened) details.open = false;
    opened = [];
  });
}
