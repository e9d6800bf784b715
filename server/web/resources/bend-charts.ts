import { BendCharts } from '../../messages/charts.ts'
import { BendFilter } from '../../messages/find.ts'
import { bendChartSteps } from '../../quality/bend-charts.ts'
import { answers } from '../answers.ts'
import { demandTimes } from '../demand-times.ts'
import { inTurns, makeOneByOne } from '../in-turns.ts'
import type { Resource } from '../parts.ts'

const tags = ['bends']

/** /bends/charts: charts of all bends that a filter finds. */
export const chartedBends: Resource = async (app, { history }) => {
  const codes = ['bad-input', 'storage-failed'] as const
  // Of a million bends they take some 200 MB while they are made.
  const oneByOne = makeOneByOne()

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
    async ({ query, signal }) => {
      demandTimes(query)
      function* steps() {
        const selected = yield* { [Symbol.iterator]: () => history.selectionSteps(query) }
        return yield* bendChartSteps(selected)
      }
      return await oneByOne(() => inTurns(steps(), signal))
    },
  )
}
