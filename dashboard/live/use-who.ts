import { api } from './api.ts'
import { useAnswer } from './use-answer.ts'
import { type Who, whoActs } from './who.ts'

/** Who acts at this page, as the daemon's session has it. */
export const useWho = (): Who => whoActs(useAnswer('session', api.session))
