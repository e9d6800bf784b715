/**
 * Sends a form. While that takes its time it looks and is told as switched off, yet keeps the keyboard's focus, which a
 * disabled button loses for good; `useForm` sends nothing twice.
 */
export const SubmitButton = ({ name, isBusy }: { name: string; isBusy: boolean }) => (
  <button type="submit" class="plain" aria-disabled={isBusy}>
    {name}
  </button>
)
