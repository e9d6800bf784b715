import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, inject, test } from 'vitest'
import { ADMINISTRATOR } from '../support/enrolled.ts'
import { skipWithout } from '../support/needs.ts'
import { type Browser, listenForFaults, openBrowser, openStage, type Stage } from './stage.ts'

describe.skipIf(skipWithout('chromium'))('the page of people in Chromium', () => {
  let browser: Browser
  let stage: Stage
  let page: Page

  beforeAll(async () => {
    stage = await openStage(inject('dashboardDir'))
    browser = await openBrowser()
    page = await browser.context.newPage()
  })
  afterAll(async () => {
    await browser?.close()
    await stage?.close()
  })

  const form = (name: string) => page.getByRole('form', { name, exact: true })
  const focused = (what: string) => page.evaluate(`document.activeElement.${what}`)
  const signIn = async (password: string) => {
    await form('Sign in').getByLabel('Name').fill(ADMINISTRATOR.name)
    await form('Sign in').getByLabel('Password').fill(password)
    await form('Sign in').getByRole('button').click()
    const status = page.locator('main [role=status]')
    await expect.poll(() => status.textContent()).toBe('Signed in: Ada, administrator.')
  }

  test('an administrator changes people, each change is on record, and a password of their own', async () => {
    const faults = listenForFaults(page)
    await page.goto(`${stage.url}/#/people`)
    const first = form('Enrol the first administrator')
    await first.getByLabel('Name').fill(ADMINISTRATOR.name)
    await first.getByLabel('Password').fill(ADMINISTRATOR.password)
    await first.getByRole('button').click()

    const add = form('Enrol a person')
    await add.getByLabel('Name').fill('<b>Olaf</b>')
    await add.getByLabel('Password').fill('ninety degrees')
    await add.getByLabel('Why').fill('New.')
    await add.getByRole('button').click()
    const table = (name: string) => page.getByRole('table', { name, exact: true })
    const row = table('Enrolled').getByRole('row', { name: '<b>Olaf</b>' })
    await row.waitFor()
    await page.getByText('Signed in: Ada, administrator. <b>Olaf</b> is enrolled.').waitFor()
    // What was pressed to send it keeps the keyboard's focus.
    expect(await focused('textContent')).toBe('Enrol a person')

    const change = form('Change a person')
    await change.getByLabel('Whom').selectOption('<b>Olaf</b>')
    await change.getByLabel('Role').selectOption('reviewer')
    await change.getByRole('button').click()
    await change.getByText('Fill this in.').waitFor()
    await change.getByLabel('Why').fill('Counter-signs.')
    await change.getByRole('button').click()
    await row.getByText('reviewer').waitFor()

    await change.getByLabel('Whom').selectOption('<b>Olaf</b>')
    await change.getByLabel('What').selectOption('retired')
    await change.getByLabel('Why').fill('Left.')
    await change.getByRole('button').click()
    await row.getByText('retired').waitFor()

    await change.getByLabel('Whom').selectOption(ADMINISTRATOR.name)
    await change.getByLabel('What').selectOption('retired')
    await change.getByLabel('Why').fill('Left.')
    await change.getByRole('button').click()
    await page.getByText('Ada is the only administrator: make another one first.').waitFor()
    // The field that it is about has the keyboard's focus.
    expect(await focused('id')).toBe('change-name')

    const own = form('Change your password')
    await own.getByLabel('Password until now').fill(ADMINISTRATOR.password)
    await own.getByLabel('New password').fill('ladders and rails')
    await own.getByRole('button').click()
    await page.getByText('The password is changed: sign in with the new one.').waitFor()
    await signIn('ladders and rails')

    const changes = stage.station.history.personChanges()
    expect(changes.map(({ who, person, change: what }) => [who, person, what])).toEqual([
      ['Ada', 'Ada', 'added'],
      ['Ada', '<b>Olaf</b>', 'added'],
      ['Ada', '<b>Olaf</b>', 'role'],
      ['Ada', '<b>Olaf</b>', 'retired'],
      ['Ada', 'Ada', 'password'],
    ])
    const shown = table('Changes of people').locator('tbody tr')
    await expect.poll(() => shown.count()).toBe(5)
    const cells = (await shown.nth(2).locator('td').allTextContents()).toSpliced(1, 1)
    expect(cells).toEqual(['3', 'Ada', '<b>Olaf</b>', 'made reviewer', 'Counter-signs.'])
    // The last retirement was refused; whether the list is asked for once more as the session ends is a matter of turns.
    const statuses = faults.map((fault) => /status of (\d+)/.exec(fault)?.[1] ?? fault)
    expect(statuses.filter((status) => status !== '401')).toEqual(['409'])
  })

  test('a session that ends under a half-written note is begun again on the spot, and the note stays', async () => {
    stage.goTo(() => stage.station.history.bend(1) !== null)
    await page.goto(`${stage.url}/#/history/1`)
    await page.getByRole('button', { name: 'Write a note' }).first().click()
    const note = form('Write a note')
    await note.getByText('Entered under your name').waitFor()
    await note.getByRole('textbox').fill('Seam on the inside.')
    // Another tab signs out.
    await page.evaluate(() => fetch('/api/session', { method: 'DELETE' }))
    await note.getByRole('button', { name: 'Write a note' }).click()
    await note.getByText('People are enrolled here: sign in first.').waitFor()
    expect(await note.getByText('Entered under your name').count()).toBe(0)
    await note.getByRole('button', { name: 'Sign in' }).click()
    const dialog = page.getByRole('dialog', { name: 'Sign in' })
    await dialog.getByLabel('Name').fill(ADMINISTRATOR.name)
    await dialog.getByLabel('Password').fill('ladders and rails')
    await dialog.getByRole('button', { name: 'Sign in' }).click()
    await dialog.waitFor({ state: 'detached' })
    await note.getByText('Entered under your name').waitFor()
    expect(await note.getByRole('alert').textContent()).toBe('')
    expect(await note.getByRole('textbox').inputValue()).toBe('Seam on the inside.')
    await note.getByRole('button', { name: 'Write a note' }).click()
    await note.waitFor({ state: 'detached' })
    expect(stage.station.history.actsOn(1)).toMatchObject([
      { kind: 'note', who: 'Ada', whoKnownBy: 'signed-in', text: 'Seam on the inside.' },
    ])
  })
})
