import { expect, test } from 'vitest'
import { type Outlets, openOutlets } from '../../../../server/chain/outlets.ts'

/** @returns what listeners threw. */
function deliver(outlets: Outlets): unknown[] {
  const errors: unknown[] = []
  outlets.deliver(errors)
  return errors
}

test('messages wait until they are delivered, in the order in which they were emitted', () => {
  const outlets = openOutlets()
  const heard: unknown[] = []
  const live = outlets.emitter('live')
  const bend = outlets.emitter('bend')
  outlets.on('live', (message) => heard.push(['live', message]))
  outlets.on('bend', (message) => heard.push(['bend', message]))
  live(1)
  bend(2)
  live(3)
  expect(heard).toEqual([])
  expect(deliver(outlets)).toEqual([])
  expect(heard).toEqual([
    ['live', 1],
    ['bend', 2],
    ['live', 3],
  ])
  deliver(outlets)
  expect(heard).toHaveLength(3)
})

test('one who left hears nothing more; leaving twice does no harm', () => {
  const outlets = openOutlets()
  const emit = outlets.emitter('live')
  const heard: unknown[] = []
  const leave = outlets.on('live', (message) => heard.push(message))
  leave()
  leave()
  emit(1)
  deliver(outlets)
  expect(heard).toEqual([])
})

test('an outlet that no block has is refused by name', () => {
  expect(() => openOutlets().on('sound', () => {})).toThrow(/no outlet "sound"/)
})

test('a block without an outlet may not emit', () => {
  expect(() => openOutlets().emitter(undefined)(1)).toThrow(/must name its outlet/)
})

test('one listener that throws keeps no other from hearing, and its error comes back', () => {
  const outlets = openOutlets()
  const emit = outlets.emitter('live')
  const heard: unknown[] = []
  outlets.on('live', () => {
    throw new Error('broken')
  })
  outlets.on('live', (message) => heard.push(message))
  emit(1)
  emit(2)
  expect(deliver(outlets)).toEqual([new Error('broken'), new Error('broken')])
  expect(heard).toEqual([1, 2])
})
