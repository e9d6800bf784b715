import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import { beforeAll, describe, expect, inject, test } from 'vitest'

const FIRST_LOAD_BYTES_MAX = 150_000

describe('what a browser loads', () => {
  let files: { name: string; bytes: Buffer; text: string }[]

  beforeAll(async () => {
    const folder = inject('dashboardDir')
    files = readdirSync(folder, { recursive: true, withFileTypes: true })
      // The builder may lay compressed copies beside each file: the same content once more.
      .filter((entry) => entry.isFile() && !/\.(?:gz|br)$/.test(entry.name))
      .map(({ name, parentPath }) => ({ name, bytes: readFileSync(join(parentPath, name)) }))
      .map((file) => ({ ...file, text: file.bytes.toString('latin1') }))
  })

  /** What a file wants before it runs; what it fetches later, when a page is opened, is another thing. */
  const wantedBy = (text: string) =>
    [...text.matchAll(/(?:from|import) ?["']\.\/([\w.-]+\.js)["']/g)].map(([, name]) => name)

  /** The page, all that it names, and all that these want. */
  function firstLoad() {
    const page = files.find(({ name }) => name === 'index.html')
    const names = new Set(page?.text.match(/[\w.-]+\.(?:js|css|svg)/g) ?? [])
    for (const name of names)
      for (const wanted of wantedBy(files.find((file) => file.name === name)?.text ?? ''))
        names.add(wanted ?? '')
    const faces = files.filter(({ name }) => name.endsWith('.woff2'))
    return [page, ...files.filter(({ name }) => names.has(name)), ...faces].flatMap(
      (file) => file ?? [],
    )
  }

  test('at first is under 150 kB compressed, all of it', () => {
    const first = firstLoad()
    const names = first.map(({ name }) => name).join(' ')
    expect(names).toMatch(/index-\S+\.js/)
    expect(names).toMatch(/index-\S+\.css/)
    // The layouter, and pages that few open every day.
    for (const later of [
      'elk.bundled',
      'blocks-page',
      'notebook-page',
      'people-page',
      'record-page',
      'chain-page',
    ])
      expect(names).not.toContain(later)
    const bytes = first.reduce((sum, file) => sum + gzipSync(file.bytes).byteLength, 0)
    expect(bytes).toBeGreaterThan(10_000)
    expect(bytes).toBeLessThan(FIRST_LOAD_BYTES_MAX)
  })

  test('brings the face of its digits along', () => {
    expect(files.filter(({ name }) => name.endsWith('.woff2'))).toHaveLength(2)
  })

  test('asks nothing of anyone outside the shop', () => {
    const addresses = files.flatMap(({ text }) => text.match(/(?:https?|wss?):\/\/[\w.-]+/g) ?? [])
    // Names of the vector format and a licence, and a hint of the builder, not addresses that are fetched.
    const names = /:\/\/(?:www\.w3\.org|www\.eclipse\.org|rolldown\.rs)$/
    expect(addresses.filter((address) => !names.test(address))).toEqual([])
  })

  test('has no script or style in the page itself, which its policy would refuse', () => {
    const page = files.find(({ name }) => name === 'index.html')?.text ?? ''
    expect(page).toContain('<script type="module"')
    expect(page).not.toMatch(/<script(?![^>]*\bsrc=)/)
    expect(page).not.toMatch(/<style|\sstyle=|\son\w+=/)
  })

  test('evaluates no text', () => {
    for (const { text } of files) expect(text).not.toMatch(/\beval\(|new Function\(/)
  })
})
