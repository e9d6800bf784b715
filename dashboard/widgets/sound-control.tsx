import { settings } from '../live/settings.ts'
import { soundState, trySound } from '../live/sound.ts'
import { words } from '../words/en.ts'

/** Volume and mute at hand, and a plain word while the browser still keeps the sound locked. */
export function SoundControl() {
  const state = soundState.value
  if (state === 'absent') return <span class="sound">{words.sound.absent}</span>
  if (state === 'locked')
    return (
      <button type="button" class="sound sound-locked" onClick={() => void trySound()}>
        {words.sound.locked}
      </button>
    )
  const muted = settings.muted.value
  return (
    <span class="sound">
      <button
        type="button"
        aria-pressed={muted}
        onClick={() => {
          settings.muted.value = !muted
        }}
      >
        {muted ? words.sound.muted : words.sound.on}
      </button>
      <input
        type="range"
        min="0"
        max="1"
        step="0.05"
        aria-label={words.sound.volume}
        value={settings.volume.value}
        onInput={(event) => {
          settings.volume.value = Number(event.currentTarget.value)
        }}
        onChange={() => void trySound()}
      />
    </span>
  )
}
