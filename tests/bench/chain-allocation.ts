import { bytesARow, chainAllocation } from '../support/chain-allocation.ts'

// Bytes that each block of a chain allocates for a row, the die at rest: the shipped chain with the general blocks
// on its angle. `whole` is all of the shipped chain with what is between its blocks.

const ROWS = 16_384
const BATCHES = [256, 4]

const table = new Map<string, Record<string, number>>()
const put = (kind: string, batch: number, bytes: number) =>
  table.set(kind, {
    ...table.get(kind),
    [`batches of ${batch}, bytes a row`]: Math.round(bytes * 10) / 10,
  })

for (const batch of BATCHES) {
  const general = await chainAllocation('general', ROWS, batch)
  for (const kind of Object.keys(general.many)) put(kind, batch, bytesARow(general, kind))
  const shipped = await chainAllocation('shipped', ROWS, batch)
  put('whole', batch, shipped.whole / shipped.rows)
}
console.table(Object.fromEntries(table))
