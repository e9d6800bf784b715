/** What nobody sees: format characters, controls, fillers, the blank pattern of Braille. */
const UNSEEN = /[\p{Default_Ignorable_Code_Point}\p{Cf}\p{Cc}\u2800]/gu
/** `\s` would take the byte order mark, which has no width, for a space. */
const SPACES = /\p{White_Space}+/gu

/**
 * Unseen, but part of how a word is written: a joiner or non-joiner after a letter of a script other than Latin, Greek
 * and Cyrillic (Persian and the scripts of India need them); the joiner and the variation selector of emoji. No language
 * has to be known for that, and two names that differ in nothing else are still the same.
 */
const NEEDED = [
  /(?<=[^\p{Script=Latin}\p{Script=Greek}\p{Script=Cyrillic}\p{Script=Common}\p{Script=Inherited}]\p{M}*)[\u200C\u200D]/gu,
  /(?<=\p{Extended_Pictographic}[\u{1F3FB}-\u{1F3FF}\uFE0F]?)\u200D(?=\p{Extended_Pictographic})/gu,
  /(?<=\p{Emoji})\uFE0F/gu,
] as const

/** Alphabets with letters that look alike: `A` is one of each. */
const ALIKE = {
  Latin: /\p{Script=Latin}/u,
  Greek: /\p{Script=Greek}/u,
  Cyrillic: /\p{Script=Cyrillic}/u,
} as const

/** A name as it is kept once somebody typed it: one space between words, none around. */
export const spacedOnce = (text: string): string => text.replace(SPACES, ' ').replace(/^ | $/g, '')

/** What two names have in common that people take for the same: capitals, spaces, and what nobody sees tell nobody apart. */
export const plainName = (name: string): string =>
  spacedOnce(name.normalize('NFKC').replace(SPACES, ' ').replace(UNSEEN, ''))
    // Both ways, so that ß is ss and both small sigmas are one.
    .toUpperCase()
    .toLowerCase()
    .normalize('NFKC')

const codeOf = (character: string) =>
  `U+${(character.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0')}`

/** What is wrong with a name that somebody typed, as the end of a sentence; null: nothing. What was stored before is never asked. */
export function unseenIn(name: string): string | null {
  const seen = NEEDED.reduce((text, needed) => text.replace(needed, ''), spacedOnce(name))
  const [unseen] = seen.match(UNSEEN) ?? []
  if (unseen === undefined) return null
  return `has a character in it that nobody sees (${codeOf(unseen)}): type the name again without it.`
}

/** What else is wrong with the name of somebody who is newly enrolled; null: nothing. */
export function mixedIn(name: string): string | null {
  const alphabets = Object.entries(ALIKE).flatMap(([alphabet, letter]) =>
    letter.test(name.normalize('NFKC')) ? [alphabet] : [],
  )
  if (alphabets.length < 2) return null
  return `mixes ${alphabets.join(' and ')} letters, which look alike: write it in one alphabet.`
}
