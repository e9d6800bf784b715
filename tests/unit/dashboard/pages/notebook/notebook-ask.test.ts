import { describe, expect, test } from 'vitest'
import { dayTaken, guessStyle } from '../../../../../dashboard/pages/notebook/notebook-ask.ts'

describe('the order of days is guessed', () => {
  test.each([
    ['Day;Part\n3/4/2019;BR-5', 'day-first'],
    ['Day\tGot\n3/4/2019\t90,5', 'day-first'],
    ['Day,Part\n3/4/2019,BR-5', 'month-first'],
    ['Day,Part\n3/4/2019,BR-5\n31/3/2019,BR-5', 'day-first'],
    ['Day;Part\n3/4/2019;BR-5\n3/31/2019;BR-5', 'month-first'],
    ['Day,Part\n3.4.2019,BR-5', 'day-first'],
    ['Day;Part\n2019-03-04;BR-5', 'year-first'],
    ['Day;Part\n2019/3/4;BR-5', 'year-first'],
    [`Day,Part\n${'3/4/2019,BR-5\n'.repeat(1000)}31/3/2019,BR-5`, 'day-first'],
  ])('%j', (text, dates) => expect(guessStyle(text).dates).toBe(dates))
})

describe('a day that could be either', () => {
  const text = 'Day;Part\n4/4/2019;BR-5\n3/4/2019;BR-5'

  test('is named with what it is taken for', () => {
    expect(dayTaken(text, 'day-first')).toEqual({ typed: '3/4/2019', meant: '2019-04-03' })
    expect(dayTaken(text, 'month-first')).toEqual({ typed: '3/4/2019', meant: '2019-03-04' })
  })

  test('is none where another tells the order; against that order it is named', () => {
    const told = `${text}\n31/3/2019;BR-5`
    expect(dayTaken(told, 'day-first')).toBeNull()
    expect(dayTaken(told, 'month-first')).toMatchObject({ typed: '3/4/2019' })
  })

  test('is none where every day says itself', () => {
    expect(dayTaken('Day;Part\n31/3/2019;BR-5\n4/4/2019;BR-5', 'day-first')).toBeNull()
    expect(dayTaken('Day;Part\n2019-03-04;BR-5', 'year-first')).toBeNull()
    expect(dayTaken('Day;Part\n13/4/20190;BR-5', 'day-first')).toBeNull()
  })
})
