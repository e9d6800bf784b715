import type { Here } from '../../server/messages/people.ts'

/** Who acts at this page. */
export type Who =
  /** It is not known yet. */
  | { readonly is: 'asked' }
  /** An open shop: whoever acts types a name. */
  | { readonly is: 'typed' }
  | { readonly is: 'signed-in'; readonly name: string }
  /** People are enrolled, and none of them is signed in here. */
  | { readonly is: 'nobody' }

/** Where the daemon could not say who is here, a name is asked for: it decides itself what it takes. */
export function whoActs(answer: {
  readonly value: Here | null
  readonly problem: string | null
}): Who {
  const { value: here, problem } = answer
  if (here === null) return { is: problem === null ? 'asked' : 'typed' }
  if (here.person !== null) return { is: 'signed-in', name: here.person.name }
  return { is: here.isOpenShop ? 'typed' : 'nobody' }
}

/** The name that is sent along: that of whoever is signed in, else as it was typed. */
export const nameOf = (who: Who, typed: string): string =>
  who.is === 'signed-in' ? who.name : typed.trim()

/** True where a name is still to be typed. */
export const lacksName = (who: Who, typed: string): boolean =>
  who.is === 'typed' && typed.trim() === ''
