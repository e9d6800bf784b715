import { Capture, ReadoutState } from '../../messages/readout.ts'
import { strict } from '../../messages/schema.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'

const tags = ['readout']

/** /readout: what is known of the readout, and what it shows now. */
export const readout: Resource = async (app, { station }) => {
  app.get(
    '/readout',
    {
      schema: {
        tags,
        summary: 'Calibration, last check and uncertainty in force',
        response: answers(ReadoutState, { codes: ['storage-failed'] }),
      },
    },
    async () => station.readout.state(),
  )

  app.post(
    '/readout/capture',
    {
      config: { may: 'operator' },
      schema: {
        tags,
        summary: 'The mean readout over the last second, when it stands still',
        body: strict({}),
        response: answers(Capture, { body: true, codes: ['no-signal', 'not-still'] }),
      },
    },
    async () => station.readout.capture(),
  )
}
