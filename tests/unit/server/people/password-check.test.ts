import { expect, test } from 'vitest'
import { makePasswordCheck } from '../../../../server/people/password-check.ts'

const clock = { nowS: () => 0, after: () => ({ cancel: () => undefined }) }

/** A password fits what it is kept as where both are one text, once `answer` is called. */
function slowPasswords() {
  let answer: () => void = () => undefined
  const asked = new Promise<void>((resolve) => {
    answer = resolve
  })
  return {
    passwords: {
      hash: async (password: string) => password,
      async fits(kept: string | null, password: string) {
        await asked
        return kept === password
      },
    },
    answer,
  }
}

test('a password that was replaced while it was looked at lets nobody in', async () => {
  const { passwords, answer } = slowPasswords()
  let kept = 'the old one'
  const demand = makePasswordCheck(clock, passwords, () => kept)
  const tried = demand('Ada', 'the old one')
  kept = 'the new one'
  answer()
  await expect(tried).rejects.toMatchObject({ code: 'wrong-password' })
  await expect(demand('Ada', 'the new one')).resolves.toBeUndefined()
})

test('nor does that of somebody who was retired meanwhile', async () => {
  const { passwords, answer } = slowPasswords()
  let kept: string | null = 'a password'
  const demand = makePasswordCheck(clock, passwords, () => kept)
  const tried = demand('Ada', 'a password')
  kept = null
  answer()
  await expect(tried).rejects.toMatchObject({ code: 'wrong-password' })
})
