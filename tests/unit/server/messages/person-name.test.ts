import { describe, expect, test } from 'vitest'
import {
  mixedIn,
  plainName,
  spacedOnce,
  unseenIn,
} from '../../../../server/messages/person-name.ts'

describe('names that are taken for the same', () => {
  test.each([
    ['QA', 'Q\u200BA'],
    ['QA', 'Q\uFEFFA'],
    ['QA', 'Q\u2060A'],
    ['QA', 'QA\u00AD'],
    ['QA', 'Q\u3164A'],
    ['QA', 'Q\u200DA'],
    ['QA', 'Q\u034FA'],
    ['QA', 'Q\u2800A'],
    ['QA', 'qa '],
    ['Ada Boss', 'Ada  Boss'],
    ['Ada Boss', '\tADA\u00A0\u2003boss\n'],
    ['Ada Boss', 'Ａｄａ Boss'],
    // Composed and not (UAX 15), and a ligature (NFKC).
    ['Zoë', 'Zoe\u0308'],
    ['Steffi', 'Steﬃ'],
    // CaseFolding.txt of Unicode, from memory: ß folds to ss, and both small sigmas to one.
    ['Weiß', 'WEISS'],
    ['Νίκος', 'ΝΊΚΟΣ'],
  ])('%j and %j', (one, other) => {
    expect(plainName(other)).toBe(plainName(one))
  })

  test.each([
    ['Ada', 'Adam'],
    ['Ada Boss', 'AdaBoss'],
    ['Zoë', 'Zoe'],
    ['علی', 'علا'],
    ['', 'A'],
  ])('%j and %j are two', (one, other) => {
    expect(plainName(other)).not.toBe(plainName(one))
  })
})

describe('a typed name', () => {
  test('keeps one space between words', () => {
    expect(spacedOnce(' \tAda\u00A0 \u2003Boss\r\n')).toBe('Ada Boss')
    expect(spacedOnce('Q\uFEFFA')).toBe('Q\uFEFFA')
  })

  test.each([
    ['Q\u200BA', 'U+200B'],
    ['QA\uFEFF', 'U+FEFF'],
    ['\u202EadA', 'U+202E'],
    ['Q\u200DA', 'U+200D'],
    ['Александр\u200C', 'U+200C'],
    ['Q\u0000A', 'U+0000'],
    ['Q\u3164A', 'U+3164'],
    ['ADA\u{E0041}', 'U+E0041'],
    ['علی\u200C\u200Cرضا', 'U+200C'],
  ])('%j is told what nobody sees in it', (name, code) => {
    expect(unseenIn(name)).toBe(
      `has a character in it that nobody sees (${code}): type the name again without it.`,
    )
  })

  test.each([
    'Ada Boss',
    'O’Neil-Šimůnková Jr.',
    'علی\u200Cرضا',
    'क्\u200Dष',
    'מרים',
    '山田 太郎',
    'Ada 👩\u200D🔧',
    'Ada 👷🏽\u200D♀\uFE0F',
    ' Ada ',
    '',
  ])('%j is fine', (name) => {
    expect(unseenIn(name)).toBeNull()
  })
})

describe('a new name', () => {
  test('is of one of the alphabets that look alike', () => {
    expect(mixedIn('\u0410da Boss')).toBe(
      'mixes Latin and Cyrillic letters, which look alike: write it in one alphabet.',
    )
    expect(mixedIn('Αda')).toContain('Latin and Greek')
    for (const name of ['Ada', 'Ада Иванова', 'Νίκος', 'Zoë 2', 'Ada 山田', 'µ'])
      expect(mixedIn(name), name).toBeNull()
  })
})
