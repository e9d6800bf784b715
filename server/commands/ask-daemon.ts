import { once } from 'node:events'
import type { IncomingMessage } from 'node:http'
import { request as overHttp } from 'node:http'
import { request as overHttps } from 'node:https'
import { json } from 'node:stream/consumers'
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

/** By the plain client, since `fetch` gives up after five minutes and an archive may take longer. */
async function post(root: string, path: string, body: object, cookie = ''): Promise<Answer> {
  try {
    const request = root.startsWith('https:') ? overHttps : overHttp
    const asked = request(`${root}${path}`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', ...(cookie !== '' && { cookie }) },
    })
    asked.end(JSON.stringify(body))
    const [answer] = (await once(asked, 'response')) as [IncomingMessage]
    const set = answer.headers['set-cookie']?.[0]?.split(';', 1)[0] ?? ''
    return { status: answer.statusCode ?? 0, body: await json(answer), cookie: set }
  } catch (error) {
    throw new BadInput(`--daemon: no daemon answers at ${root}.`, { cause: error })
  }
}

function sentenceOf({ body }: Answer): string {
  const { sentence } = body as Partial<Refusal>
  return sentence ?? 'That is no daemon of Overbend: look at the address.'
}

const isFine = ({ status }: Answer) => status === 200

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
  if ((answer.body as Partial<Refusal>).code === 'not-signed-in') {
    const password = (await lineGiven()) ?? ''
    const session = await post(root, '/api/session', { name: body.who, password })
    if (!isFine(session)) throw new BadInput(sentenceOf(session))
    answer = await post(root, path, body, session.cookie)
  }
  if (isFine(answer)) return answer.body
  throw new BadInput(sentenceOf(answer))
}
