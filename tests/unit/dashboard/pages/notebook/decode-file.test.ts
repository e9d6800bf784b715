import { expect, test } from 'vitest'
import { decodeFile } from '../../../../../dashboard/pages/notebook/decode-file.ts'

const bytesOf = (text: string, encoding: BufferEncoding) =>
  Uint8Array.from(Buffer.from(text, encoding))

test('UTF-8 is read strictly, with or without its mark', () => {
  const read = { text: 'Jörg;90°', encoding: 'utf-8' }
  expect(decodeFile(bytesOf('Jörg;90°', 'utf8'))).toEqual(read)
  expect(decodeFile(bytesOf('\uFEFFJörg;90°', 'utf8'))).toEqual(read)
  expect(decodeFile(new Uint8Array())).toEqual({ text: '', encoding: 'utf-8' })
})

// From 0xA0 on as in ISO 8859-1. Below it some releases of Node decode otherwise than browsers: the page's own test has those.
test('what is no UTF-8 is read as Windows-1252', () => {
  const bytes = Uint8Array.of(0x4a, 0xf6, 0x72, 0x67, 0x3b, 0xd8, 0xb0)
  expect(decodeFile(bytes)).toEqual({ text: 'Jörg;Ø°', encoding: 'windows-1252' })
})

test('two bytes a letter are told by their mark', () => {
  const little = bytesOf('\uFEFFJörg', 'utf16le')
  const big = Uint8Array.from(Buffer.from(little).swap16())
  for (const bytes of [little, big])
    expect(decodeFile(bytes)).toEqual({ text: 'Jörg', encoding: 'utf-16' })
})
