/** Something that is so or not, ticked by a finger anywhere on its words. */
export const Tick = (props: { text: string; isOn: boolean; onTick: (isOn: boolean) => void }) => (
  <label class="tick">
    <input
      type="checkbox"
      checked={props.isOn}
      onChange={(event) => props.onTick(event.currentTarget.checked)}
    />
    {props.text}
  </label>
)
