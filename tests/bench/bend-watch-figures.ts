/**
 * The bend watch on random traces, the long run: `npx tsx tests/bench/bend-watch-figures.ts [traces] [seed]`.
 * Prints missed and made-up bends, and the errors of both angles.
 */
import { quantile, runFamily } from '../support/bend-family.ts'

const traces = Number(process.argv[2] ?? 10_000)
const firstSeed = Number(process.argv[3] ?? 1)

for (const [name, hold] of [
  ['held 0.1 s to 2 s', { fromS: 0.1, toS: 2 }],
  ['held 0 s to 0.1 s', { fromS: 0, toS: 0.1 }],
  ['not held at all', { fromS: 0, toS: 0 }],
] as const) {
  const count = hold.toS > 1 ? traces : Math.ceil(traces / 5)
  const figures = runFamily(firstSeed, count, hold)
  const { missed, made, strokesWrong, beyond, peakErrorsDeg, releasedErrorsDeg } = figures
  console.log(`${name}: ${count} traces from seed ${firstSeed}, ${figures.goes} goes`)
  console.log(`  missed ${missed.length} [${missed}], made up ${made.length} [${made}]`)
  console.log(`  strokes wrong ${strokesWrong.length} [${strokesWrong.slice(0, 10)}]`)
  for (const [angle, errors] of [
    ['peak', peakErrorsDeg],
    ['released', releasedErrorsDeg],
  ] as const)
    console.log(
      `  ${angle} error: median ${quantile(errors, 0.5).toFixed(4)}°, 99 % ${quantile(errors, 0.99).toFixed(4)}°, ` +
        `99.9 % ${quantile(errors, 0.999).toFixed(4)}°, worst ${quantile(errors, 1).toFixed(4)}°`,
    )
  console.log(`  beyond 0.05°: ${beyond.length} [${beyond.slice(0, 30)}]`)
  console.log(`  released error over its standard error, rms: ${figures.errorOverSe.toFixed(2)}`)
}
