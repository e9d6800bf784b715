import { type Front, type Part, wire } from './part.ts'

/** Zero by itself when the slack is out; to be put beside a body, which has the datum. */
export const autoDatumPart = ({ gives }: Front): Part => ({
  blocks: [{ id: 'auto-datum', kind: 'auto-datum' }],
  connections: [
    { from: 'spike-guard.angle', to: 'auto-datum.angle' },
    { from: 'command.command', to: 'auto-datum.command' },
    ...wire(gives.pressure, 'auto-datum.pressure'),
    ...wire(gives.switch, 'auto-datum.closed'),
    { from: 'auto-datum.here', to: 'datum.here' },
  ],
})
