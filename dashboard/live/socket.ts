import { type Signal, signal } from '@preact/signals'
import type { LiveMessage } from '../../server/messages/live.ts'
import { benderKey } from './bender-key.ts'
import { SILENCE_MS_MAX, type SocketState, waitMs } from './reconnect.ts'

/** The same JSON in a text frame or in a binary one. */
const textOf = (data: unknown) =>
  data instanceof ArrayBuffer ? new TextDecoder().decode(data) : String(data)

/**
 * Keeps one socket to `/live` open for as long as the page lives, and says how it is.
 * `onTurnedAway`: it closed before a message came, so the daemon may want something first.
 */
export function openSocket(
  take: (message: LiveMessage) => void,
  onTurnedAway: () => void,
): Signal<SocketState> {
  const state = signal<SocketState>('opening')
  const scheme = location.protocol === 'https:' ? 'wss:' : 'ws:'
  const key = benderKey()
  const query = key === null ? '' : `?station=${encodeURIComponent(key)}`
  let tries = 0

  function open() {
    let isHeard = false
    let silence: ReturnType<typeof setTimeout>
    const socket = new WebSocket(`${scheme}//${location.host}/live${query}`)
    const lose = () => {
      clearTimeout(silence)
      socket.onmessage = null
      socket.onclose = null
      socket.close()
      state.value = 'lost'
      if (!isHeard) onTurnedAway()
      setTimeout(open, waitMs(tries))
      tries += 1
    }
    const listen = () => {
      clearTimeout(silence)
      silence = setTimeout(lose, SILENCE_MS_MAX)
    }
    socket.binaryType = 'arraybuffer'
    socket.onmessage = (event) => {
      listen()
      take(JSON.parse(textOf(event.data)) as LiveMessage)
      isHeard = true
      tries = 0
      state.value = 'open'
    }
    socket.onclose = lose
    listen()
  }

  open()
  return state
}
