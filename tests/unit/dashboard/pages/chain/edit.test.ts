import { describe, expect, test } from 'vitest'
import type { Draft, Edited } from '../../../../../dashboard/pages/chain/draft.ts'
import { changesOf } from '../../../../../dashboard/pages/chain/draft-changes.ts'
import {
  add,
  connect,
  disconnect,
  insert,
  remove,
  rename,
  setParameter,
} from '../../../../../dashboard/pages/chain/edit.ts'
import { kindsInto, outputsFor } from '../../../../../dashboard/pages/chain/fitting.ts'
import { catalogue } from '../../../../../server/blocks/index.ts'
import { dieEncoderChain } from '../../../../../server/blocks/shipped/die-encoder.ts'
import { checkChain } from '../../../../../server/chain/check.ts'
import { kindsByName as kinds } from '../../../../support/chain-kinds.ts'

const RUNNING: Draft = dieEncoderChain
const GUARDED = { from: 'scale.angle', to: 'spike-guard.angle' }

function made(edit: Edited): Draft {
  if ('why' in edit) throw new Error(edit.why)
  return edit.draft
}
const whyOf = (edit: Edited) => ('why' in edit ? edit.why : null)
const blockOf = ({ blocks }: Draft, id: string) => blocks.find((block) => block.id === id)

describe('a block put into a connection', () => {
  test('stands between, in the unit of the connection, and the chain can run', () => {
    const draft = made(insert(RUNNING, kinds, GUARDED, 'notch'))
    expect(blockOf(draft, 'notch')).toEqual({
      id: 'notch',
      kind: 'notch',
      parameters: { unit: 'deg' },
    })
    expect(draft.connections).toContainEqual({ from: 'scale.angle', to: 'notch.value' })
    expect(draft.connections).toContainEqual({ from: 'notch.value', to: 'spike-guard.angle' })
    expect(draft.connections).not.toContainEqual(GUARDED)
    expect(() => checkChain(draft, catalogue)).not.toThrow()
  })

  test('every kind that fits a connection, everywhere, can run as soon as its inputs are connected', () => {
    let tried = 0
    for (const connection of RUNNING.connections)
      for (const { kind } of kindsInto(RUNNING, kinds, connection)) {
        let draft = made(insert(RUNNING, kinds, connection, kind))
        const id = draft.blocks.find((block) => !blockOf(RUNNING, block.id))?.id ?? ''
        for (const { name, isOptional } of kinds.get(kind)?.inputs ?? []) {
          const to = `${id}.${name}`
          if (isOptional || draft.connections.some((one) => one.to === to)) continue
          const from = outputsFor(draft, kinds, to).find((end) => !end.startsWith(`${id}.`))
          if (from === undefined) throw new Error(`Nothing for ${to}.`)
          draft = made(connect(draft, kinds, { from, to }))
        }
        const where = `${connection.from} → ${kind} → ${connection.to}`
        try {
          checkChain(draft, catalogue)
        } catch (error) {
          // The first output that fits may come from behind the new block: then it is a loop, rightly refused.
          expect(String(error), where).toMatch(/is a loop/)
          continue
        }
        tried++
        expect(changesOf(RUNNING, draft).blocks.get(id), where).toBe('added')
      }
    expect(tried).toBeGreaterThan(50)
  })

  test('taken out again leaves the chain as it was', () => {
    const draft = made(insert(RUNNING, kinds, GUARDED, 'notch'))
    const back = made(remove(draft, kinds, 'notch'))
    expect(back).toEqual(RUNNING)
    expect(changesOf(RUNNING, back).count).toBe(0)
  })

  test('a second one of a kind has a name of its own', () => {
    const once = made(insert(RUNNING, kinds, GUARDED, 'median'))
    const twice = insert(once, kinds, { from: 'median.value', to: 'spike-guard.angle' }, 'median')
    expect('id' in twice && twice.id).toBe('median-2')
    expect(() => checkChain(made(twice), catalogue)).not.toThrow()
  })

  test('what does not fit is refused, with both ends', () => {
    const line = RUNNING.connections.find(({ from }) => from === 'link.line')
    if (line === undefined) throw new Error('The shipped chain has no lines.')
    expect(kindsInto(RUNNING, kinds, line)).toEqual([])
    expect(whyOf(insert(RUNNING, kinds, line, 'notch'))).toBe(
      `"notch" does not take and give what goes from ${line.from} to ${line.to}.`,
    )
    expect(whyOf(insert(RUNNING, kinds, GUARDED, 'link'))).toContain('has one "link" block')
    const gone = { from: 'scale.angle', to: 'nobody.there' }
    expect(whyOf(insert(RUNNING, kinds, gone, 'notch'))).toContain('are not connected')
  })
})

describe('connecting', () => {
  const withFilter = made(add(RUNNING, kinds, 'low-pass'))

  test('a block that nothing holds to a unit takes that of what it is connected to', () => {
    const draft = made(connect(withFilter, kinds, { from: 'decode.counts', to: 'low-pass.value' }))
    expect(blockOf(draft, 'low-pass')?.parameters).toEqual({ unit: 'count' })
    expect(() => checkChain(draft, catalogue)).not.toThrow()
  })

  test('a block that is held to a unit keeps it', () => {
    const draft = made(insert(RUNNING, kinds, GUARDED, 'compare'))
    expect(whyOf(connect(draft, kinds, { from: 'decode.counts', to: 'compare.b' }))).toBe(
      'decode.counts carries count, but compare.b takes deg.',
    )
    expect(outputsFor(draft, kinds, 'compare.b')).not.toContain('decode.counts')
  })

  test('an input has one source: the new one takes the place of the old', () => {
    const draft = made(connect(RUNNING, kinds, { from: 'spike-guard.angle', to: 'smoother.angle' }))
    expect(draft.connections.filter(({ to }) => to === 'smoother.angle')).toEqual([
      { from: 'spike-guard.angle', to: 'smoother.angle' },
    ])
    expect(draft.connections).toHaveLength(RUNNING.connections.length)
  })

  test('disconnected, the check names block and port', () => {
    const draft = made(disconnect(RUNNING, 'spike-guard.angle'))
    expect(() => checkChain(draft, catalogue)).toThrow('spike-guard.angle is not connected')
    expect(whyOf(disconnect(draft, 'spike-guard.angle'))).toBe(
      'spike-guard.angle is not connected.',
    )
  })
})

describe('parameters and names', () => {
  test('a parameter is set, and left at its default again', () => {
    const set = made(setParameter(RUNNING, kinds, 'smoother', 'noiseDeg', 0.05))
    expect(blockOf(set, 'smoother')?.parameters).toMatchObject({ noiseDeg: 0.05 })
    expect(changesOf(RUNNING, set).blocks).toEqual(new Map([['smoother', 'changed']]))
    const back = made(setParameter(set, kinds, 'smoother', 'noiseDeg', undefined))
    expect(changesOf(RUNNING, back).count).toBe(0)
    expect(whyOf(setParameter(RUNNING, kinds, 'smoother', 'loudness', 1))).toBe(
      '"smoother" has no parameter "loudness".',
    )
  })

  test('a new name goes into every connection', () => {
    const draft = made(rename(RUNNING, 'smoother', 'steady'))
    expect(() => checkChain(draft, catalogue)).not.toThrow()
    expect(JSON.stringify(draft.connections)).not.toContain('smoother')
    expect(changesOf(RUNNING, draft)).toMatchObject({ removed: ['smoother'] })
    expect(whyOf(rename(RUNNING, 'smoother', 'datum'))).toBe('Another block is called "datum".')
    expect(whyOf(rename(RUNNING, 'smoother', 'Steady one'))).toContain('is no name')
  })
})

describe('taking out', () => {
  test('joins the neighbours where the same goes over both', () => {
    const draft = made(remove(RUNNING, kinds, 'spike-guard'))
    expect(() => checkChain(draft, catalogue)).not.toThrow()
    const { removed, connected, disconnected } = changesOf(RUNNING, draft)
    expect(removed).toEqual(['spike-guard'])
    expect(connected.length).toBeGreaterThan(0)
    expect(disconnected).toEqual([])
  })

  test('leaves open what cannot be joined, and the check names it', () => {
    const draft = made(remove(RUNNING, kinds, 'scale'))
    expect(() => checkChain(draft, catalogue)).toThrow('is not connected')
  })

  test('the block of the lines stays', () => {
    expect(whyOf(remove(RUNNING, kinds, 'link'))).toContain('"link" stays')
    expect(whyOf(remove(RUNNING, kinds, 'nobody'))).toBe('There is no block "nobody" in the draft.')
  })
})
