import { Type } from 'typebox'
import { Axes, EntryQuery, SixPositions, SixPositionsAsk } from '../../messages/readout.ts'
import { strict } from '../../messages/schema.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'

const tags = ['readout']

/** /readout/axes: offset and gain of an accelerometer's axes, from its six sides. */
export const axes: Resource = async (app, { station, history }) => {
  app.get(
    '/readout/axes',
    {
      schema: {
        tags,
        summary: 'Calibrations of the axes of this bender, newest first',
        querystring: EntryQuery,
        response: answers(Type.Array(SixPositions), { codes: ['bad-input', 'storage-failed'] }),
      },
    },
    async ({ query }) =>
      history.readoutEntries({ ...query, station: station.state().station, kind: 'six-positions' }),
  )

  app.post(
    '/readout/axes',
    {
      config: { may: 'reviewer' },
      schema: {
        tags,
        summary: 'Enter a calibration of the axes; from then on it is in force',
        body: SixPositionsAsk,
        response: answers(SixPositions, {
          body: true,
          codes: ['calibration-refused', 'no-setup', 'not-now', 'storage-failed', 'storage-full'],
        }),
      },
    },
    async ({ body }) => station.readout.calibrateAxes(body),
  )

  app.post(
    '/readout/axes/capture',
    {
      config: { may: 'operator' },
      schema: {
        tags,
        summary: 'What the axes of an accelerometer show now',
        body: strict({}),
        response: answers(Axes, { body: true, codes: ['no-signal'] }),
      },
    },
    async () => station.readout.captureAxes(),
  )
}
