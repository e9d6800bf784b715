import { describe, expect, test } from 'vitest'
import { makeNotesOnDisk } from '../../../../server/station/notes-on-disk.ts'

const refuse = () => {
  throw new Error('The disk is full.')
}

describe('small notes on a disk that may refuse them', () => {
  test('there is no trouble before one was refused, and nothing to try again', () => {
    const notes = makeNotesOnDisk()
    let tries = 0
    notes.retry(1000, () => tries++)
    expect([notes.trouble(), tries]).toEqual([null, 0])
  })

  test('a refusal is told, not thrown, until something is taken again', () => {
    const notes = makeNotesOnDisk()
    expect(() => notes.attempt(refuse)).not.toThrow()
    expect(notes.trouble()).toBe('The disk is full.')
    notes.attempt(() => undefined)
    expect(notes.trouble()).toBeNull()
  })

  test('what was refused elsewhere is told as well, whatever was thrown', () => {
    const notes = makeNotesOnDisk()
    notes.refused('no words')
    expect(notes.trouble()).toBe('no words')
  })

  test('it is tried again every ten seconds, not more often, until it is taken', () => {
    const notes = makeNotesOnDisk()
    notes.attempt(refuse)
    const triedAtS: number[] = []
    for (let s = 1; s <= 40; s++)
      notes.retry(s, () => {
        triedAtS.push(s)
        if (s < 30) refuse()
      })
    expect(triedAtS).toEqual([10, 20, 30])
    expect(notes.trouble()).toBeNull()
  })

  test('a time that is none tries nothing', () => {
    const notes = makeNotesOnDisk()
    notes.attempt(refuse)
    let tries = 0
    notes.retry(Number.NaN, () => tries++)
    expect(tries).toBe(0)
  })
})
