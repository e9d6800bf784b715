import { useSession } from './use-session.ts'
import { type Who, whoActs } from './who.ts'

/** Who acts at this page, as the daemon's session has it. */
export const useWho = (): Who => whoActs(useSession())
