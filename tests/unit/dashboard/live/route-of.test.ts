import { expect, test } from 'vitest'
import { routeOf } from '../../../../dashboard/live/route-of.ts'

test.each([
  ['#/bend', { page: 'bend' }],
  ['#/setup', { page: 'setup' }],
  ['#/history', { page: 'history', address: '#/history' }],
  ['#/history?part=BR-5&x=/', { page: 'history', address: '#/history?part=BR-5&x=/' }],
  ['#/history/charts?lot=A', { page: 'charts', address: '#/history/charts?lot=A' }],
  ['#/history/12', { page: 'record', bendId: 12 }],
  ['#/springback', { page: 'springback', setupId: null }],
  ['#/springback/3', { page: 'springback', setupId: 3 }],
  ['', { page: 'bend' }],
  ['#', { page: 'bend' }],
  ['#/', { page: 'bend' }],
  ['#/bend?x=1', { page: 'bend' }],
  ['#main', { page: 'nowhere', address: '#main' }],
  ['#/chain', { page: 'chain' }],
  ['#/chain/blocks', { page: 'blocks' }],
  ['#/chain/blocks/x', { page: 'nowhere', address: '#/chain/blocks/x' }],
  ['#/nowhere', { page: 'nowhere', address: '#/nowhere' }],
  ['#/history/', { page: 'nowhere', address: '#/history/' }],
  ['#/history/x', { page: 'nowhere', address: '#/history/x' }],
  ['#/history/-1', { page: 'nowhere', address: '#/history/-1' }],
  [
    '#/history/99999999999999999999',
    { page: 'nowhere', address: '#/history/99999999999999999999' },
  ],
  ['#/history/1/2', { page: 'nowhere', address: '#/history/1/2' }],
])('%j leads to %j', (hash, page) => {
  expect(routeOf(hash)).toEqual(page)
})
