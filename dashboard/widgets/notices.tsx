import { signal, useSignalEffect } from '@preact/signals'
import type { Notice } from '../../server/messages/live.ts'
import { awakeState } from '../live/awake.ts'
import { useStation } from '../live/context.ts'
import { refused } from '../live/doing.ts'
import { route } from '../live/route.ts'
import { settings } from '../live/settings.ts'
import { words } from '../words/en.ts'

const RANK: Readonly<Record<Notice['kind'], number>> = { fault: 0, doubt: 1, task: 2 }

/** Which notice is on show when there are several: one tap goes to the next. */
const turn = signal(0)

const MAY_GO_DARK: Notice = { id: 'dark', kind: 'task', text: words.awake.absent, hint: '' }

const LOST: Notice = {
  ...{ id: 'lost', kind: 'fault', text: words.lost.socket, hint: words.lost.socketHint },
}

/** What this screen has to say of itself. */
const ownNotices = (): Notice[] =>
  awakeState.value === 'absent' && !settings.staysOn.value ? [MAY_GO_DARK] : []

function SeenTo({ id }: Notice) {
  if (id !== MAY_GO_DARK.id) return null
  return (
    <button
      type="button"
      class="notice-more"
      onClick={() => {
        settings.staysOn.value = true
      }}
    >
      {words.awake.seen}
    </button>
  )
}

function Refused({ sentence }: { sentence: string }) {
  return (
    <div class="notice notice-refused" role="status">
      <strong>{words.notices.refused}</strong>
      <span class="notice-text">{sentence}</span>
      <button
        type="button"
        class="notice-more"
        onClick={() => {
          refused.value = null
        }}
      >
        {words.notices.dismiss}
      </button>
    </div>
  )
}

/** One fixed strip: the worst notice first, the others one tap away. It never moves the page. */
export function Notices() {
  const { state, socket } = useStation()
  // What was refused while nobody answered says nothing of now.
  useSignalEffect(() => {
    if (socket.value === 'open') refused.value = null
  })
  if (refused.value)
    return (
      <div class="notices">
        <Refused sentence={refused.value} />
      </div>
    )
  // The Bend page says it in the place of the angle; what was said before it was lost is old.
  const isLost = socket.value === 'lost' && route.value.page !== 'bend'
  const told = isLost ? [LOST] : (state.value?.notices ?? [])
  const notices = [...told, ...ownNotices()].sort((a, b) => RANK[a.kind] - RANK[b.kind])
  const notice = notices[turn.value % Math.max(1, notices.length)]
  return (
    <section class="notices" aria-label={words.notices.group}>
      {notice && (
        <div
          class={`notice notice-${notice.kind}`}
          role={notice.kind === 'fault' ? 'alert' : 'status'}
        >
          <strong>{words.notices[notice.kind]}</strong>
          <span class="notice-text">
            {notice.text} <em>{notice.hint}</em>
          </span>
          <SeenTo {...notice} />
          {notices.length > 1 && (
            <button
              type="button"
              class="notice-more"
              onClick={() => {
                turn.value += 1
              }}
            >
              {words.notices.more(notices.length - 1)}
            </button>
          )}
        </div>
      )}
    </section>
  )
}
