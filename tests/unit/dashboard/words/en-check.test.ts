import { expect, test } from 'vitest'
import { checkWords } from '../../../../dashboard/words/en-check.ts'

const log = { entries: 0, firstBroken: null, head: '' }
const whole = {
  ...{
    records: 97,
    intact: true,
    firstBroken: null,
    why: null,
    head: '0123456789abcdef'.repeat(4),
  },
  ...{ readout: log, acts: log, chains: log, people: log, exports: log },
}

test('a check of the record says how many, whether it is intact, and the begin of its head', () => {
  expect(checkWords.found(whole)).toMatch(
    /^97 records, intact\. The head begins with 0123456789ab:/,
  )
  expect(checkWords.found({ ...whole, records: 1 })).toMatch(/^1 record, intact\./)
  expect(checkWords.found({ ...whole, records: 0, head: '' })).toMatch(/^No bend is recorded yet/)
})

test('where it is broken the daemon says why, and the page what to do', () => {
  const why = 'Record 4 is missing: record 5 comes next.'
  const said = checkWords.found({ ...whole, intact: false, firstBroken: 4, why })
  expect(said).toBe(
    `NOT intact, of 97 records: ${why} Leave the data folder as it is, make a copy of it, and look for a backup that passes this check.`,
  )
})
