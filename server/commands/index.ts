import type { AddCommand } from './command.ts'
import { predict } from './predict.ts'

/** Every command of `overbend`, in the order of its help. */
export const commands: readonly AddCommand[] = [predict]
