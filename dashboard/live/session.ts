import { signal } from '@preact/signals'

/** Counts up whenever who is signed in here may be another: whoever shows it asks again. */
export const sessionTurn = signal(0)

export const sessionChanged = (): void => {
  sessionTurn.value++
}

/** What was pressed to sign in on the spot; null: nobody is about to. */
export const signInFrom = signal<HTMLElement | null>(null)
