/** The daemon's name for a field, such as `/die/odMm` or `body.die.odMm`, as `die.odMm`. */
export const dottedPath = (path: string | undefined): string =>
  (path ?? '').replaceAll('/', '.').replace(/^\.?(body\.)?/, '')
