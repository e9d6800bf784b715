import { expect, test } from 'vitest'
import type { Draft } from '../../../../../dashboard/pages/chain/draft.ts'
import { draftBlocks } from '../../../../../dashboard/pages/chain/draft-blocks.ts'
import { insert } from '../../../../../dashboard/pages/chain/edit.ts'
import { place } from '../../../../../dashboard/pages/chain/layout.ts'
import { catalogue } from '../../../../../server/blocks/index.ts'
import { dieEncoderChain } from '../../../../../server/blocks/shipped/die-encoder.ts'
import { checkChain } from '../../../../../server/chain/check.ts'
import { chainViewOf } from '../../../../../server/station/chain-view.ts'
import { kindsByName as kinds } from '../../../../support/chain-kinds.ts'

const byId = (one: { id: string }, other: { id: string }) => (one.id < other.id ? -1 : 1)

function sameAsChecked(draft: Draft): void {
  const checked = chainViewOf(checkChain(draft, catalogue)).blocks
  expect(JSON.parse(JSON.stringify(draftBlocks(draft, kinds).sort(byId)))).toEqual(
    JSON.parse(JSON.stringify(checked.toSorted(byId))),
  )
}

test('a draft that can run is drawn as the daemon would draw it', () => {
  sameAsChecked(dieEncoderChain)
  const where = { from: 'unwrap.counts', to: 'scale.counts' }
  const edited = insert(dieEncoderChain, kinds, where, 'alpha-beta')
  if ('why' in edited) throw new Error(edited.why)
  sameAsChecked(edited.draft)
})

test('one that cannot run is drawn all the same: unknown blocks without ports, foreign ends without a line', async () => {
  const draft: Draft = {
    ...dieEncoderChain,
    blocks: [...dieEncoderChain.blocks, { id: 'odd', kind: 'of-another-shop' }],
    connections: [
      ...dieEncoderChain.connections,
      { from: 'odd.value', to: 'datum.here' },
      { from: 'nobody.value', to: 'smoother.nothing' },
    ],
  }
  const blocks = draftBlocks(draft, kinds)
  const { lines } = await place(blocks, 2)
  expect(lines).toHaveLength(dieEncoderChain.connections.length)
  expect(blocks.find(({ id }) => id === 'odd')).toMatchObject({ inputs: [], outputs: [] })
})
