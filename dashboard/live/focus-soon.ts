/**
 * Puts the keyboard's focus on the first of these elements that is there once the page was drawn anew: for whoever
 * pressed what is gone then. What cannot be tabbed to takes it too.
 */
export function focusSoon(...selectors: readonly string[]): void {
  requestAnimationFrame(() => {
    for (const selector of selectors) {
      const element = document.querySelector<HTMLElement>(selector)
      if (element === null || element.matches(':disabled')) continue
      if (element.tabIndex < 0) element.tabIndex = -1
      element.focus()
      return
    }
  })
}

/** The line of a page that says how many were found. */
export const STATUS_LINE = 'main [role=status]'
