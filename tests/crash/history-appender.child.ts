import { writeSync } from 'node:fs'
import { openHistory } from '../../server/history/open.ts'
import { newBend, openShop, rawOf } from '../unit/server/history/shop.ts'

/**
 * Appends bends for ever, and says each number only after `append` has returned. The open bend is noted
 * before each, as the station does. Arguments: the data folder; bytes of a setting that is kept with each bend,
 * which fill the log sooner.
 */
const [, , dir = '', settingBytes = '0'] = process.argv
openShop(dir).close()
const history = openHistory(dir)
writeSync(1, 'ready\n')
for (;;) {
  const n = history.count() + 1
  const { job, startedAt } = newBend(n)
  history.openBend({ startedAt, setupId: 1, job, simulated: true })
  if (settingBytes !== '0') history.remember('filler', `${n}`.padStart(Number(settingBytes)))
  const { id, hash } = history.append(newBend(n), rawOf(n))
  writeSync(1, `${id} ${hash}\n`)
}
