import type { AddCommand } from './command.ts'

/** Every command of `overbend`, in the order of its help. */
export const commands: readonly AddCommand[] = []
