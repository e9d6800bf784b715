/** Once the page has been drawn with what was just changed. */
function focusSoon(selector: string): void {
  requestAnimationFrame(() => document.querySelector<HTMLElement | SVGElement>(selector)?.focus())
}

export const focusBlock = (id: string): void => focusSoon(`[data-block="${CSS.escape(id)}"]`)
export const focusChanges = (): void => focusSoon('.draft-changes')
/** The button that opens a sheet. */
export const focusOpener = (sheet: string): void => focusSoon(`[data-opens="${CSS.escape(sheet)}"]`)
