import { describe, expect, test } from 'vitest'
import { isDraft, readText, textOfDraft } from '../../../../../dashboard/pages/chain/draft-text.ts'
import { catalogue } from '../../../../../server/blocks/index.ts'
import { dieEncoderChain } from '../../../../../server/blocks/shipped/die-encoder.ts'
import { checkChain } from '../../../../../server/chain/check.ts'

const without = (key: string) => {
  const { [key]: _, ...rest } = dieEncoderChain as Record<string, unknown>
  return rest
}

describe('a draft as text', () => {
  test('is read again as it was written', () => {
    expect(readText(textOfDraft(dieEncoderChain))).toEqual({ value: dieEncoderChain })
    expect(isDraft(dieEncoderChain)).toBe(true)
  })

  test('text that is no JSON is said to be none', () => {
    expect(readText('{ "format": ')).toMatchObject({
      why: expect.stringMatching(/^This is not JSON/),
    })
    expect(readText('')).toHaveProperty('why')
  })

  test.each(['format', 'version', 'name', 'revision', 'blocks', 'connections'])(
    'without %s it cannot be drawn, and the check refuses it too',
    (key) => {
      expect(isDraft(without(key))).toBe(false)
      expect(() => checkChain(without(key), catalogue)).toThrow()
    },
  )

  test.each([
    null,
    [],
    'chain',
    { ...dieEncoderChain, blocks: [null] },
    { ...dieEncoderChain, blocks: [{ id: 'link' }] },
    { ...dieEncoderChain, blocks: [{ id: 'link', kind: 'link', parameters: 5 }] },
    { ...dieEncoderChain, connections: [{ from: 'link.line' }] },
    { ...dieEncoderChain, blocks: [...dieEncoderChain.blocks, { id: 'link', kind: 'link' }] },
  ])('%# cannot be drawn, and the check refuses it too', (value) => {
    expect(isDraft(value)).toBe(false)
    expect(() => checkChain(value, catalogue)).toThrow()
  })
})
