import { spawnSync } from 'node:child_process'
import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Command } from 'commander'
import { afterAll, describe, expect, test, vi } from 'vitest'
import { people } from '../../../../server/commands/people.ts'
import { serve } from '../../../../server/commands/serve.ts'
import { openHistory } from '../../../../server/history/open.ts'
import { programArgs } from '../../../support/programs.ts'

const scratch = mkdtempSync(join(tmpdir(), 'overbend-people-'))
afterAll(() => rmSync(scratch, { recursive: true }))

async function said(...args: string[]): Promise<string> {
  const program = new Command('overbend').exitOverride()
  people(program)
  let text = ''
  const written = vi.spyOn(process.stdout, 'write').mockImplementation((piece) => {
    text += String(piece)
    return true
  })
  try {
    await program.parseAsync(['people', ...args], { from: 'user' })
    return text
  } finally {
    written.mockRestore()
  }
}

describe('overbend people', () => {
  test('lists everybody beside a daemon that has the folder, and changes nobody', async () => {
    const data = join(scratch, 'data')
    const history = openHistory(data)
    try {
      for (const [person, change] of [
        ['Ada  Boss', 'added'],
        ['Olaf', 'added'],
        ['Olaf', 'retired'],
      ] as const)
        history.addPersonChange(
          {
            ...{ schema: 1, at: '2026-01-05T08:00:00+01:00', software: 'test' },
            ...{
              who: 'Ada',
              whoKnownBy: 'typed',
              person,
              change,
              role: 'operator',
              reason: 'Now.',
            },
          },
          change === 'added' ? 'kept' : null,
        )
      expect(await said('list', '--data', data)).toBe(
        'Ada  Boss\toperator\nOlaf\toperator\tretired\n',
      )
      expect(JSON.parse(await said('list', '--data', data, '--json'))).toEqual({
        people: [
          { name: 'Ada  Boss', role: 'operator', isActive: true },
          { name: 'Olaf', role: 'operator', isActive: false },
        ],
      })
      await expect(said('retire', 'Ada  Boss', '--data', data)).rejects.toThrow(/page People/)
    } finally {
      history.close()
    }
  })

  test('lists nobody of a folder that is not there, and makes none', async () => {
    await expect(said('list', '--data', join(scratch, 'none'))).rejects.toThrow(/none/)
    expect(existsSync(join(scratch, 'none'))).toBe(false)
  })

  test.each([['--password=geheim'], ['-pgeheim']])('%s is refused and not repeated', (option) => {
    const args = ['people', 'add', 'Ada', '--data', join(scratch, 'x'), option]
    const { status, stderr } = spawnSync(process.execPath, [
      ...programArgs('server/main.ts'),
      ...args,
    ])
    expect(status).toBe(2)
    expect(stderr.toString()).toContain('unknown option')
    expect(stderr.toString()).not.toContain('geheim')
  })
})

test('the help of serve says how fast a bench can be', () => {
  const program = new Command('overbend')
  serve(program)
  const help = program.commands[0]?.helpInformation().replace(/\s+/g, ' ')
  expect(help).toContain('how much faster than real the bench runs, 0.1 to 20')
})
