import { once } from 'node:events'
import type { IncomingMessage } from 'node:http'
import { request as overHttp } from 'node:http'
import { request as overHttps } from 'node:https'
import { text } from 'node:stream/consumers'
import type { Refusal } from '../messages/commands.ts'
import { BadInput } from './command.ts'
import { lineGiven } from './line-given.ts'

interface Answer {
  readonly status: number
  readonly body: unknown
  readonly cookie: string
}

/** The address up to the path; a page's own is taken too. @throws BadInput */
function rootOf(address: string): string {
  if (!/^https?:\/\//.test(address) || !URL.canParse(address))
    throw new BadInput(
      `--daemon takes the address that the daemon printed, such as http://127.0.0.1:8737, got "${address}".`,
    )
  return new URL(address).origin
}

/** Null: no JSON, such as another program's page. */
function jsonIn(body: string): unknown {
  try {
    return JSON.parse(body)
  } catch {
    return null
  }
}

/** @throws BadInput with this sentence where something else goes wrong. */
async function orSaid<T>(work: () => Promise<T>, sentence: string): Promise<T> {
  try {
    return await work()
  } catch (error) {
    throw new BadInput(sentence, { cause: error })
  }
}

/** By the plain client, since `fetch` gives up after five minutes and an archive may take longer. */
async function post(root: string, path: string, body: object, cookie = ''): Promise<Answer> {
  const request = root.startsWith('https:') ? overHttps : overHttp
  const asked = request(`${root}${path}`, {
    method: 'POST',
    headers: { 'content-type': 'application/json', ...(cookie !== '' && { cookie }) },
  })
  // Once the answer has begun, what goes wrong is told by its body, too.
  asked.on('error', () => {})
  asked.end(JSON.stringify(body))
  const [answer] = await orSaid(
    async () => (await once(asked, 'response')) as [IncomingMessage],
    `--daemon: no daemon answers at ${root}.`,
  )
  const said = await orSaid(
    () => text(answer),
    `--daemon: the answer of ${root} broke off: look whether it was done before you try again.`,
  )
  const set = answer.headers['set-cookie']?.[0]?.split(';', 1)[0] ?? ''
  return { status: answer.statusCode ?? 0, body: jsonIn(said), cookie: set }
}

function sentenceOf({ body }: Answer): string {
  return (
    (body as Partial<Refusal> | null)?.sentence ??
    'That is no daemon of Overbend: look at the address.'
  )
}

const isFine = ({ status, body }: Answer) => status === 200 && body !== null

/**
 * Has a running daemon do something. Where people are enrolled there, whoever acts gives the password, on one line of
 * standard input.
 *
 * @throws BadInput with the daemon's own sentence.
 */
export async function askDaemon(
  address: string,
  path: string,
  body: Readonly<Record<string, unknown>> & { readonly who: string },
): Promise<unknown> {
  const root = rootOf(address)
  let answer = await post(root, path, body)
  if ((answer.body as Partial<Refusal> | null)?.code === 'not-signed-in') {
    const password = (await lineGiven()) ?? ''
    const session = await post(root, '/api/session', { name: body.who, password })
    if (!isFine(session)) throw new BadInput(sentenceOf(session))
    answer = await post(root, path, body, session.cookie)
  }
  if (isFine(answer)) return answer.body
  throw new BadInput(sentenceOf(answer))
}
