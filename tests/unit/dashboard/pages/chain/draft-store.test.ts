import { beforeEach, describe, expect, test } from 'vitest'
import type { Draft } from '../../../../../dashboard/pages/chain/draft.ts'
import {
  closeDraft,
  doAgain,
  openDraft,
  stepTo,
  takeBack,
  takeDraft,
} from '../../../../../dashboard/pages/chain/draft-store.ts'
import { dieEncoderChain } from '../../../../../server/blocks/shipped/die-encoder.ts'

const FIRST: Draft = dieEncoderChain
const SECOND: Draft = { ...FIRST, note: 'Another.' }
const now = () => openDraft.value?.steps.now

describe('the draft of a screen', () => {
  beforeEach(closeDraft)

  test('is begun, changed, taken back and done again', () => {
    takeDraft(FIRST, 'die-encoder r1')
    stepTo(SECOND)
    expect(now()).toBe(SECOND)
    takeBack()
    expect(now()).toBe(FIRST)
    doAgain()
    expect(now()).toBe(SECOND)
  })

  test('a revision opened while there is a draft is one more step of it: nothing is lost', () => {
    takeDraft(FIRST, 'die-encoder r1')
    takeDraft(SECOND, 'die-encoder r7')
    expect(openDraft.value?.begunFrom).toBe('die-encoder r1')
    takeBack()
    expect(now()).toBe(FIRST)
  })

  test('where none is open, nothing can be changed', () => {
    stepTo(SECOND)
    takeBack()
    doAgain()
    expect(openDraft.value).toBeNull()
  })
})
