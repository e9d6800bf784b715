import { Type } from 'typebox'
import { StationRow } from '../../messages/stations.ts'
import { answers } from '../answers.ts'
import type { Resource, StationSeat } from '../parts.ts'

function rowOf({ key, station }: StationSeat): StationRow {
  const { station: name, bench, link, phase, cue } = station.state()
  return { key, name, isBench: bench !== null, link: link.state, phase, cue }
}

/** GET /stations: the benders of this daemon, the one that the short addresses mean first. */
export const stations: Resource = async (app, { seats }) => {
  app.get(
    '/stations',
    {
      schema: {
        tags: ['station'],
        summary: 'The benders of this daemon; what follows /api/ also follows /api/stations/{key}/',
        response: answers(Type.Array(StationRow)),
      },
    },
    async () => seats.map(rowOf),
  )
}
