/** A longer word is cut, so that no measuring takes long; and a line, however narrow its letters are. */
const WORD_MAX = 32
const LINE_MAX = 400

const graphemes = new Intl.Segmenter('en', { granularity: 'grapheme' })

/** Letters with their accents; where there are more of these than anybody writes, one by one. */
function* lettersOf(word: string): Generator<string> {
  for (const { segment } of graphemes.segment(word))
    if (segment.length > WORD_MAX) yield* segment
    else yield segment
}

/** Words with the space behind them; one that is too long in parts. */
function* wordsOf(line: string): Generator<string> {
  for (const [word] of line.matchAll(/[^\s-]*[\s-]+|[^\s-]+/g)) {
    if (word.length <= WORD_MAX) {
      yield word
      continue
    }
    let part = ''
    for (const letter of lettersOf(word)) {
      if (part.length + letter.length > WORD_MAX) {
        yield part
        part = ''
      }
      part += letter
    }
    yield part
  }
}

/** Where there are empty lines, one of them. */
function givenLines(text: string): string[] {
  const lines = text.split(/\r\n|[\n\r\u2028\u2029]/).map((line) => line.replaceAll(/\s/g, ' '))
  return lines.filter((line, place) => line.trim() !== '' || lines[place - 1]?.trim() !== '')
}

/**
 * The lines of a text, each as long as it may be: broken behind spaces and hyphens, and within a word that is longer
 * than any. Every part is measured on its own, so that the work grows as the text does.
 *
 * @param widthOf Of a text, in the unit of `widthPt`.
 */
export function* linesOf(
  text: string,
  widthPt: number,
  widthOf: (text: string) => number,
): Generator<string> {
  for (const given of givenLines(text)) {
    let line = ''
    let linePt = 0
    for (const word of wordsOf(given)) {
      const isWide = widthOf(word.trimEnd()) > widthPt
      for (const part of isWide ? lettersOf(word) : [word]) {
        const fits = linePt + widthOf(part.trimEnd()) <= widthPt && line.length < LINE_MAX
        if (line !== '' && !fits) {
          yield line.trimEnd()
          line = ''
          linePt = 0
        }
        line += part
        linePt += widthOf(part)
      }
    }
    yield line.trimEnd()
  }
}
