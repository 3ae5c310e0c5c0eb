import type { Page } from 'playwright-core';

/** What a hand can aim at. A label counts when it wraps its control, since it then acts for it. */
const TARGET = [
  'a[href]',
  'button',
  'select',
  'textarea',
  'input:not([type="hidden"])',
  'summary',
  '[role="button"]',
  '[role="application"]',
  '[contenteditable="true"]',
  'label:has(button, input, select, textarea)',
].join(', ');

/** Links inside running text, the one exception of WCAG 2.2, 2.5.8 ("Inline") that the pages make use of. */
const IN_TEXT = 'p a[href], li p a[href], .basisline a[href], .src a[href]';

interface TargetOptions {
  /** Least height and width, px */
  least: number;
  /** Selector of what to look within; the whole page when left out. */
  within?: string;
  /** Also leaves out links inside running text. */
  inTextFree?: boolean;
}

/**
 * Targets seen on the page that are too small to hit, each as `tag.class "text" width x height`. What is only there for
 * a screen reader, or not shown, is no target. A control within a label is as large as the label when that acts for it:
 * a box to tick or a file to choose, but not a list or a text field, which a touch on its label does not open.
 */
export async function smallTargets(page: Page, { least, within = 'body', inTextFree = false }: TargetOptions) {
  return page
    .locator(within)
    .first()
    .evaluate(
      (root, { target, inText, least: px }) => {
        const isShown = (element: Element) => {
          const box = element.getBoundingClientRect();
          if (box.width <= 1 || box.height <= 1) return false;
          if (!element.checkVisibility({ checkVisibilityCSS: true, contentVisibilityAuto: true })) return false;
          return box.right > 0 && element.closest('.vh') === null;
        };
        const boxOf = (element: Element) => {
          const isTicked = element.matches('input[type="checkbox"], input[type="radio"], input[type="file"]');
          return ((isTicked && element.closest('label')) || element).getBoundingClientRect();
        };
        return [...root.querySelectorAll(target)]
          .filter((element) => isShown(element) && !(inText !== null && element.matches(inText)))
          .map((element) => ({ element, box: boxOf(element) }))
          .filter(({ box }) => box.height < px - 0.5 || box.width < px - 0.5)
          .map(({ element, box }) => {
            const text = (element.getAttribute('aria-label') ?? element.textContent ?? '').trim().slice(0, 40);
            const name = `${element.tagName.toLowerCase()}.${[...element.classList].join('.')}`;
            return `${name} "${text}" ${Math.round(box.width)} x ${Math.round(box.height)}`;
          });
      },
      { target: TARGET, inText: inTextFree ? IN_TEXT : null, least },
    );
}
