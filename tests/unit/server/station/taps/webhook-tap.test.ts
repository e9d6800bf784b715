import { expect, test } from 'vitest'
import { NotLetOut } from '../../../../../server/station/taps/tap.ts'
import type { TapAround } from '../../../../../server/station/taps/tap-around.ts'
import { openWebhookTap } from '../../../../../server/station/taps/webhook-tap.ts'
import { makeSimulatedClock } from '../../../../support/simulated-clock.ts'

function makeTap(answers: (number | Error)[]) {
  const clock = makeSimulatedClock()
  const posts: { url: string; body: { number: number; items: unknown[] } }[] = []
  const around = {
    ...{ clock, folder: '/nowhere', env: {}, after: Promise.resolve() },
    wallMsAt: (timeS: number) => Date.UTC(2024, 0, 15, 8) + timeS * 1000,
    connectBroker: () => Promise.reject(new Error('none here')),
    async post({ host, port, path }, body) {
      posts.push({ url: `${host}:${port}${path}`, body: JSON.parse(body) })
      const answer = answers.shift() ?? 200
      if (answer instanceof Error) throw answer
      return answer
    },
  } satisfies TapAround
  const settings = {
    ...{ host: '10.0.0.7', port: 80, path: '/bends', unit: 'deg' as const },
    ...{ everyS: 1, step: 0 },
  }
  const tap = openWebhookTap('hook', settings, around)
  const hear = (value: number) =>
    tap.hear({ type: 'value', block: 'hook', timeS: value, value, unit: 'deg', quality: 'good' })
  return { clock, posts, tap, hear }
}

test('posts value, unit, quality and time, and an event with its facts', async () => {
  const { clock, posts, tap, hear } = makeTap([])
  hear(1.5)
  tap.hear({ type: 'event', block: 'hook', timeS: 2, event: 'bend held', facts: { angleDeg: 90 } })
  await clock.run(1)
  expect(posts).toEqual([
    {
      url: '10.0.0.7:80/bends',
      body: {
        block: 'hook',
        number: 1,
        items: [
          { value: 1.5, unit: 'deg', quality: 'good', at: expect.stringContaining(':01.500') },
          { event: 'bend held', facts: { angleDeg: 90 }, at: expect.stringContaining(':02.000') },
        ],
      },
    },
  ])
})

test.each([[503], [500], [429], [408], [new NotLetOut('10.0.0.7:80 cannot be reached: nobody.')]])(
  'after %s it is posted again under the same number, and the next under the next',
  async (answer) => {
    const { clock, posts, tap, hear } = makeTap([answer, answer])
    hear(1)
    await clock.run(0.3)
    expect(tap.standing()).toMatchObject({ waiting: 1, refused: 0 })
    expect(tap.standing().trouble).toMatch(/^10\.0\.0\.7:80/)
    await clock.run(5)
    hear(2)
    await clock.run(1)
    expect(posts.map(({ body }) => [body.number, body.items.length])).toEqual([
      [1, 1],
      [1, 1],
      [1, 1],
      [2, 1],
    ])
    expect(tap.standing()).toMatchObject({ sent: 2, trouble: null })
  },
)

test.each([
  [404, /refuses it \(404\)\.$/],
  [401, /refuses it \(401\)\.$/],
  [302, /redirect \(302\), which is not followed/],
])('%s is not tried again, and is told', async (status, why) => {
  const { clock, posts, tap, hear } = makeTap([status])
  hear(1)
  await clock.run(30)
  expect(posts).toHaveLength(1)
  expect(tap.standing()).toMatchObject({ sent: 0, waiting: 0, refused: 1 })
  expect(tap.standing().trouble).toMatch(why)
})

test('a body is bounded: long texts are cut, and so many items go at once', async () => {
  const { clock, posts, tap } = makeTap([])
  for (let nth = 0; nth < 120; nth++)
    tap.hear({
      ...{ type: 'event', block: 'hook', timeS: nth, event: 'bend closed' },
      facts: { reason: 'x'.repeat(5000) },
    })
  await clock.run(5)
  expect(posts.map(({ body }) => body.items.length)).toEqual([50, 50, 20])
  for (const { body } of posts) expect(JSON.stringify(body).length).toBeLessThan(20_000)
})
