import { counted } from './counted.ts'

/** Texts of the block reference. */
export const blocksWords = {
  title: 'Blocks',
  intro:
    'Every block that a chain can be made of, as it declares itself. Each picture is worked out: the daemon ran the block over a test signal.',
  back: 'Back to the chain',
  find: 'Find a block',
  none: (text: string) => `No block has “${text}” in its name or summary.`,
  count: (count: number) => counted(count, 'block', 'blocks'),
  loading: 'Running every block…',
  own: (file: string) => `Of your own: ${file}`,
  takes: 'Takes',
  gives: 'Gives',
  port: 'Port',
  carries: 'Carries',
  what: 'What it is',
  nothing: 'Nothing.',
  optional: 'may stay unconnected',
  asParameter: (parameter: string, isRate: boolean) =>
    isRate ? `rate of ${parameter}` : `as ${parameter} says`,
  parameters: 'Parameters',
  parameter: 'Parameter',
  byDefault: 'As shipped',
  range: 'Range',
  noParameters: 'It has no parameters.',
  delay: (samples: number) =>
    `Its output lags by ${Number(samples.toPrecision(3))} ${samples === 1 ? 'sample' : 'samples'}, with the parameters as shipped.`,
  delays: 'A loop may pass through it.',
  example: 'Example',
  exampleWith: (settings: string) => `Example, with ${settings}`,
  noExample: 'It cannot be shown by itself.',
  into: 'in',
  out: 'out',
  told: 'Handed on',
  bad: 'bad values dashed',
  picture: (kind: string) => `What ${kind} makes of the test signal: inputs above, outputs below`,
  seconds: (value: number) => `${Number(value.toPrecision(3))} s`,
  moment: (value: number, text: string) => `${Number(value.toPrecision(3))} s: ${text}`,
  empty: 'nothing',
}
