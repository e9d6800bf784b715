import { BendCharts } from '../../messages/charts.ts'
import { BendFilter } from '../../messages/find.ts'
import { bendCharts } from '../../quality/bend-charts.ts'
import { answers } from '../answers.ts'
import { demandTimes } from '../demand-times.ts'
import type { Resource } from '../parts.ts'
import { Refused } from '../station-door.ts'

const tags = ['bends']

/** Of so many bends charts are made in one go, beside the live angle, which must not wait for them. */
const CHARTED_MAX = 100_000

/** /bends/charts: charts of all bends that a filter finds. */
export const chartedBends: Resource = async (app, { history }) => {
  const codes = ['bad-input', 'storage-failed'] as const

  app.get(
    '/bends/charts',
    {
      schema: {
        tags,
        summary: 'Control charts, capability, springback by lot and causes of error of a filter',
        querystring: BendFilter,
        response: answers(BendCharts, { codes }),
      },
    },
    async ({ query }) => {
      demandTimes(query)
      const { total } = history.summary(query)
      if (!(total <= CHARTED_MAX)) {
        const sentence = `This filter finds ${total} bends, and charts take at most ${CHARTED_MAX}; narrow it by part, lot or day.`
        throw new Refused('bad-input', sentence)
      }
      return bendCharts(history.selection(query))
    },
  )
}
