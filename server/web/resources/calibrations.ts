import { Type } from 'typebox'
import { Calibration, CalibrationAsk, CalibrationFit, EntryQuery } from '../../messages/readout.ts'
import { answers } from '../answers.ts'
import type { Resource } from '../parts.ts'

const tags = ['readout']
const REFUSING = { body: true, codes: ['calibration-refused', 'no-setup'] } as const

/** /readout/calibrations: numbered and never edited; the newest of the sensor in use is in force. */
export const calibrations: Resource = async (app, { station, history }) => {
  app.get(
    '/readout/calibrations',
    {
      schema: {
        tags,
        summary: 'Calibrations of this bender, newest first',
        querystring: EntryQuery,
        response: answers(Type.Array(Calibration), { codes: ['bad-input', 'storage-failed'] }),
      },
    },
    async ({ query }) =>
      history.readoutEntries({ ...query, station: station.state().station, kind: 'calibration' }),
  )

  app.post(
    '/readout/calibrations',
    {
      config: { may: 'reviewer' },
      schema: {
        tags,
        summary: 'Enter a calibration; from then on it is in force',
        body: CalibrationAsk,
        response: answers(Calibration, {
          ...REFUSING,
          codes: [...REFUSING.codes, 'not-now', 'storage-failed', 'storage-full'],
        }),
      },
    },
    async ({ body }) => station.readout.calibrate(body),
  )

  app.post(
    '/readout/calibrations/trial',
    {
      config: { may: 'operator' },
      schema: {
        tags,
        summary: 'What a calibration would be, without entering it',
        body: CalibrationAsk,
        response: answers(CalibrationFit, REFUSING),
      },
    },
    async ({ body }) => station.readout.tryCalibration(body),
  )
}
