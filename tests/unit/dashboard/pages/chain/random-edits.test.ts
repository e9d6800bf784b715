import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Draft, type Edited, RATE_OF } from '../../../../../dashboard/pages/chain/draft.ts'
import { draftBlocks } from '../../../../../dashboard/pages/chain/draft-blocks.ts'
import { changesOf } from '../../../../../dashboard/pages/chain/draft-changes.ts'
import {
  firstStep,
  redo,
  STEPS_MAX,
  type Steps,
  stepOn,
  undo,
} from '../../../../../dashboard/pages/chain/draft-steps.ts'
import { isDraft } from '../../../../../dashboard/pages/chain/draft-text.ts'
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
import { propertiesOf } from '../../../../../dashboard/pages/chain/schema.ts'
import { catalogue } from '../../../../../server/blocks/index.ts'
import { dieEncoderChain } from '../../../../../server/blocks/shipped/die-encoder.ts'
import { ChainRefused } from '../../../../../server/chain/chain-refused.ts'
import { checkChain } from '../../../../../server/chain/check.ts'
import { rateUnits } from '../../../../../server/chain/unit.ts'
import { chainKinds, kindsByName as kinds } from '../../../../support/chain-kinds.ts'

const FIRST: Draft = dieEncoderChain
const RUNS = 250
const EDITS = 40

/** Numbers that an edit picks its block, connection, kind and value by. */
interface Pick {
  readonly act: number
  readonly one: number
  readonly other: number
  readonly value: unknown
}

const picks = fc.array(
  fc.record<Pick>({
    act: fc.nat({ max: 8 }),
    one: fc.nat(),
    other: fc.nat(),
    value: fc.oneof(
      fc.double(),
      fc.integer(),
      fc.boolean(),
      fc.string(),
      fc.constantFrom(undefined, null, 'deg', 'bar', 'count/s', 1, -1, [], {}, '__proto__'),
    ),
  }),
  { minLength: EDITS, maxLength: EDITS },
)

const at = <T>(list: readonly T[], place: number): T | undefined => list[place % list.length]

const ends = (draft: Draft, side: 'inputs' | 'outputs') =>
  draft.blocks.flatMap(({ id, kind }) =>
    (kinds.get(kind)?.[side] ?? []).map(({ name }) => `${id}.${name}`),
  )

/** One edit, often a sensible one, sometimes nonsense. */
function edited(draft: Draft, { act, one, other, value }: Pick): Edited {
  const id = at(draft.blocks, one)?.id ?? 'nobody'
  const connection = at(draft.connections, one) ?? { from: 'nobody.here', to: 'nobody.there' }
  const input = at(ends(draft, 'inputs'), one) ?? ''
  const kind = at(chainKinds, other)?.kind ?? ''
  switch (act) {
    case 0:
      return insert(draft, kinds, connection, kind)
    case 1: {
      const fitting = at(kindsInto(draft, kinds, connection), other)?.kind
      return insert(draft, kinds, connection, fitting ?? kind)
    }
    case 2:
      return add(draft, kinds, kind)
    case 3: {
      const from = at(outputsFor(draft, kinds, input), other)
      return connect(draft, kinds, { from: from ?? 'nobody.here', to: input })
    }
    case 4:
      return connect(draft, kinds, { from: at(ends(draft, 'outputs'), other) ?? '', to: input })
    case 5:
      return disconnect(draft, other % 3 === 0 ? input : connection.to)
    case 6: {
      const block = at(draft.blocks, one)
      const names = Object.keys(propertiesOf(kinds.get(block?.kind ?? '')?.schema ?? {}))
      const name = at(names, other) ?? String(value)
      return setParameter(draft, kinds, id, name, value)
    }
    case 7:
      return rename(draft, id, typeof value === 'string' ? value : `block-${other % 50}`)
    default:
      return remove(draft, kinds, id)
  }
}

/** Accepted, or refused with a sentence that names the block, and the port or the parameters. */
function judge(draft: Draft): 'accepted' | 'refused' {
  try {
    checkChain(draft, catalogue)
    return 'accepted'
  } catch (error) {
    if (!(error instanceof ChainRefused)) throw error
    const { block, port, message } = error
    expect(block, message).toBeTypeOf('string')
    expect(message).toContain(block)
    if (error.code === 'bad parameters') expect(message).toContain(`Parameters of block "${block}"`)
    else if (error.code !== 'loop') expect(message).toContain(`${block}.${port}`)
    else expect(port).toBeTypeOf('string')
    return 'refused'
  }
}

describe('random edits', () => {
  const came = { accepted: 0, refused: 0, 'not made': 0 }

  test('ten thousand: each gives a draft that is accepted or refused at block and port, or a sentence', () => {
    fc.assert(
      fc.property(picks, (some) => {
        let steps = firstStep(FIRST)
        for (const pick of some) {
          const next = edited(steps.now, pick)
          if ('why' in next) {
            expect(next.why).toMatch(/^.{10,}\.$/s)
            came['not made']++
            continue
          }
          steps = stepOn(steps, next.draft)
          expect(isDraft(steps.now)).toBe(true)
          draftBlocks(steps.now, kinds)
          const verdict = judge(steps.now)
          came[verdict]++
          // As a person would, so that not every later draft bears the first fault.
          if (verdict === 'refused' && pick.other % 3 > 0) steps = undo(steps)
        }
        let back: Steps = steps
        while (back.past.length > 0) back = undo(back)
        expect(back.now).toBe(FIRST)
        let again: Steps = back
        while (again.future.length > 0) again = redo(again)
        expect(again.now).toBe(steps.future[0] ?? steps.now)
        expect(changesOf(FIRST, back.now).count).toBe(0)
      }),
      { numRuns: RUNS, seed: 1 },
    )
  })

  test('they were of every sort, and ten thousand', () => {
    expect(came.accepted + came.refused + came['not made']).toBe(RUNS * EDITS)
    for (const [sort, count] of Object.entries(came)) expect(count, sort).toBeGreaterThan(500)
  })
})

test('the page and the engine know the same units of rates', () => {
  expect(RATE_OF).toEqual(rateUnits)
})

test('steps are bounded: the oldest are forgotten first', () => {
  let steps = firstStep(FIRST)
  for (let revision = 2; revision < STEPS_MAX + 50; revision++)
    steps = stepOn(steps, { ...FIRST, revision })
  expect(steps.past).toHaveLength(STEPS_MAX)
  expect(steps.past[0]?.revision).toBe(49)
  expect(undo(firstStep(FIRST)).now).toBe(FIRST)
  expect(redo(firstStep(FIRST)).now).toBe(FIRST)
})
