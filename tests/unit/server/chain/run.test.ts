import { describe, expect, test } from 'vitest'
import { compileChain } from '../../../../server/chain/chain.ts'
import { linesOf, type Probed, toyChain, toys } from './toy-blocks.ts'

/** A gain that breaks at the value 13, as no block may. */
const breaking = toys.map((toy) =>
  toy.kind === 'gain'
    ? {
        ...toy,
        step(...[frame, memory, parameters, rows]: Parameters<typeof toy.step>) {
          const { a } = frame.in as unknown as { a: { value: Float64Array } }
          if (a.value.subarray(0, rows).includes(13)) throw new TypeError('broken at 13')
          toy.step(frame, memory, parameters, rows)
        },
      }
    : toy,
)
const chainOf = () =>
  compileChain(toyChain('parse link.line, gain parse.value, probe gain.value'), breaking)

describe('a block that throws is a mistake in the program', () => {
  test('it comes out of push as it is', () => {
    expect(() => chainOf().push(linesOf(['13']))).toThrow(TypeError)
  })

  test('the lines after it in the same push are not run, and not run later either', () => {
    const chain = chainOf()
    const heard: number[] = []
    chain.on('probe', (message) => heard.push((message as Probed).value))
    const many = [...new Array(300).fill('1'), '13', ...new Array(300).fill('2')]
    expect(() => chain.push(linesOf(many))).toThrow('broken at 13')
    chain.push(linesOf(['3']))
    expect(heard).toEqual([...new Array(256).fill(2), 6])
  })

  test('however often it happens, the queue does not fill up', () => {
    const chain = chainOf()
    const broken = linesOf(new Array(20_000).fill('13'))
    for (let nth = 0; nth < 5; nth++) expect(() => chain.push(broken)).toThrow('broken at 13')
    expect(() => chain.push(linesOf(['1']))).not.toThrow()
  })

  test('what listeners had pushed meanwhile is dropped with it', () => {
    const chain = chainOf()
    const heard: number[] = []
    chain.on('probe', (message) => {
      heard.push((message as Probed).value)
      if (heard.length === 1) chain.push(linesOf(['13', '5']))
    })
    expect(() => chain.push(linesOf(['1']))).toThrow('broken at 13')
    chain.push(linesOf(['7']))
    expect(heard).toEqual([2, 14])
  })
})

describe('a push', () => {
  test('of nothing does nothing', () => {
    const chain = chainOf()
    const heard: unknown[] = []
    chain.on('probe', (message) => heard.push(message))
    chain.push([])
    expect(heard).toEqual([])
  })

  test('of a list with a hole is refused', () => {
    const holed = linesOf(['1', '2'])
    delete holed[0]
    expect(() => chainOf().push(holed)).toThrow(/line 0 is not there/)
  })

  test('does not keep the list: it may be used again', () => {
    const chain = compileChain(
      toyChain('parse link.line, total parse.value, probe total.value'),
      toys,
    )
    const heard: number[] = []
    chain.on('probe', (message) => heard.push((message as Probed).value))
    const lines = linesOf(['1'])
    chain.push(lines)
    lines[0] = { ...lines[0]!, text: '10' }
    chain.push(lines)
    expect(heard).toEqual([1, 11])
  })

  test('in another chain meanwhile: two chains share nothing', () => {
    const text = 'parse link.line, total parse.value, probe total.value'
    const [first, second] = [compileChain(toyChain(text), toys), compileChain(toyChain(text), toys)]
    const heard: number[] = []
    second.on('probe', (message) => heard.push((message as Probed).value))
    first.on('probe', () => second.push(linesOf(['1'])))
    first.push(linesOf(['50', '50']))
    expect(heard).toEqual([1, 2])
  })
})
