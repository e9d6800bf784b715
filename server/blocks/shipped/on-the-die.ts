import { type Front, type Part, wire } from './part.ts'

/** From where the readout stands to the record, for a sensor that shows where the tube is. */
export const onTheDie = (front: Front): Part => bodyBehind(front, 'datum.angle')

type Parameters = Readonly<Record<string, unknown>>

/**
 * The body that all mounts share.
 *
 * @param tube Where the angle of the tube comes from: the datum, or a block behind it.
 * @param watch Parameters of the bend watch.
 */
export const bodyBehind = ({ gives }: Front, tube: string, watch?: Parameters): Part => ({
  blocks: [
    { id: 'spike-guard', kind: 'spike-guard' },
    { id: 'datum', kind: 'datum' },
    { id: 'smoother', kind: 'smoother' },
    { id: 'bend-watch', kind: 'bend-watch', ...(watch && { parameters: { ...watch } }) },
    { id: 'stop-cue', kind: 'stop-cue' },
    { id: 'live-feed', kind: 'live-feed' },
    { id: 'bend-record', kind: 'bend-record' },
    { id: 'device-feed', kind: 'device-feed' },
  ],
  connections: [
    { from: gives.angle, to: 'spike-guard.angle' },
    { from: 'spike-guard.angle', to: 'datum.angle' },
    { from: 'command.command', to: 'datum.command' },
    ...wire(gives.lost, 'datum.lost'),
    { from: tube, to: 'smoother.angle' },
    { from: 'datum.datum', to: 'smoother.datum' },
    { from: tube, to: 'bend-watch.angle' },
    { from: 'datum.datum', to: 'bend-watch.datum' },
    { from: 'command.command', to: 'bend-watch.command' },
    ...wire(gives.lost, 'bend-watch.lost'),
    { from: 'smoother.angle', to: 'stop-cue.angle' },
    { from: 'smoother.rate', to: 'stop-cue.rate' },
    { from: 'command.command', to: 'stop-cue.command' },
    { from: 'bend-watch.events', to: 'stop-cue.events' },
    { from: 'smoother.angle', to: 'live-feed.angle' },
    { from: 'smoother.rate', to: 'live-feed.rate' },
    { from: 'stop-cue.cue', to: 'live-feed.cue' },
    { from: 'bend-watch.events', to: 'bend-record.events' },
    { from: 'stop-cue.cue', to: 'bend-record.cue' },
    { from: 'command.command', to: 'bend-record.command' },
    { from: 'link.line', to: 'device-feed.line' },
    { from: gives.counts, to: 'device-feed.counts' },
    { from: gives.trouble, to: 'device-feed.trouble' },
    ...wire(gives.device, 'device-feed.device'),
    ...wire(gives.lost, 'device-feed.lost'),
    ...wire(gives.pressure, 'device-feed.pressure'),
    ...wire(gives.switch, 'device-feed.closed'),
  ],
})
