import { expect, test } from 'vitest'
import { dottedPath } from '../../../../dashboard/live/dotted-path.ts'

test.each([
  ['/die/odMm', 'die.odMm'],
  ['die.odMm', 'die.odMm'],
  ['body.die.odMm', 'die.odMm'],
  ['/body/die/odMm', 'die.odMm'],
  ['body/station', 'station'],
  // A field that only begins like the body.
  ['bodyLength', 'bodyLength'],
  ['/', ''],
  ['', ''],
  [undefined, ''],
])('%s is %s', (path, dotted) => {
  expect(dottedPath(path)).toBe(dotted)
})
