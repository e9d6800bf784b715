import { bendProof, noProofOf } from '../../../server/bend/bend-proof.ts'
import type { Bend } from '../../../server/messages/bends.ts'
import { settings } from '../../live/settings.ts'
import type { SheetFact } from '../../widgets/fact-sheet.tsx'
import { words } from '../../words/en.ts'
import { proofWords } from '../../words/en-proof.ts'
import {
  apart,
  askedDegrees,
  degrees,
  fixed,
  length,
  momentWithOffset,
  signedDegrees,
} from '../../words/format.ts'
import { axesText, releasedText } from './readout-words.ts'
import { sharesOf } from './share-words.ts'

const { record: say, plan } = words
const { none } = words.facts

const angle = (deg: number | null) => (deg === null ? none : degrees(deg, 2))

function importedFacts({ imported }: Bend): SheetFact[] {
  if (imported === undefined) return []
  const { file, line, by, at } = imported
  return [{ name: say.imported, value: say.importedFrom(file, line, by, momentWithOffset(at)) }]
}

function toleranceFacts({ job }: Bend): SheetFact[] {
  if (job.toleranceBy === undefined) return []
  const { toleranceClass, shorterLegMm } = job.toleranceBy
  const leg = length(shorterLegMm, settings.unit.value)
  return [{ name: plan.toleranceFrom, value: plan.byClass(toleranceClass, leg) }]
}

/** What the uncertainty leaves of the verdict, which stays as it was recorded. */
function proofFacts(bend: Bend): SheetFact[] {
  if (bend.releasedDeg === null) return []
  const [proof, none] = [bendProof(bend), noProofOf(bend)]
  const value = proof === null ? proofWords.none[none ?? 'not-known'] : proofWords.said[proof]
  return [{ name: proofWords.name, value }]
}

const checkedText = (checkedDeg: number, { angleFinder }: Bend['job']) =>
  [degrees(checkedDeg, 2), apart(angleFinder ?? '')].filter((text) => text !== '').join(', ')

/** What came of the bend. */
export function resultFacts(bend: Bend): SheetFact[] {
  const { wantedDeg, toleranceDeg, releasedDeg } = bend
  return [
    { name: say.wanted, value: `${askedDegrees(wantedDeg, 2)} ± ${askedDegrees(toleranceDeg, 2)}` },
    ...toleranceFacts(bend),
    { name: say.stop, value: angle(bend.commandedDeg) },
    { name: say.peak, value: angle(bend.peakDeg) },
    { name: say.released, value: releasedText(bend) },
    {
      name: say.offBy,
      value: releasedDeg === null ? none : signedDegrees(releasedDeg - wantedDeg, 2),
    },
    ...proofFacts(bend),
    { name: say.cameFrom, value: sharesOf(bend) },
    { name: say.springback, value: angle(bend.springbackDeg) },
    {
      name: say.checked,
      value: bend.checkedDeg === null ? say.notChecked : checkedText(bend.checkedDeg, bend.job),
    },
    { name: say.started, value: momentWithOffset(bend.startedAt) },
    { name: say.finished, value: momentWithOffset(bend.finishedAt) },
    { name: say.closedBy, value: bend.closedBy },
    ...importedFacts(bend),
    { name: say.learned, value: bend.learned === 'yes' ? say.yes : say.no(bend.notLearnedWhy) },
  ]
}

/** When the readout was last checked, and what was wrong with that, if something was. */
const checkText = ({ verification, readout }: Bend): string =>
  [verification ?? words.block.never, readout?.why ?? ''].filter((text) => text !== '').join('. ')

/** What the tube was made of, with the figures where they are the shop's own. */
function metalFacts({ material, ownMaterial }: Bend['tube']): SheetFact[] {
  if (ownMaterial === undefined) return [{ name: say.material, value: material }]
  const { asOwn, asUnknown, figures, record } = words.material
  const isKnown = ownMaterial.knownFrom === 'figures'
  return [
    { name: say.material, value: isKnown ? asOwn(material) : asUnknown(material) },
    { name: record.figures, value: figures(ownMaterial) },
    ...(isKnown ? [{ name: record.source, value: ownMaterial.source ?? none }] : []),
  ]
}

const revisionFacts = ({ job }: Bend): SheetFact[] =>
  job.drawingRevision === undefined
    ? []
    : [{ name: words.setup.revision, value: job.drawingRevision }]

function sensorText({ mount, countsPerTurn, direction }: Bend['setup']['sensor']): string {
  const { mount: places, direction: directions } = words.sensor.mount.choices
  return say.sensorAs(places[mount], words.setup.countsOf(countsPerTurn), directions[direction])
}

/** Everything that was in force when it was bent. */
export function inForceFacts(bend: Bend, unit: 'mm' | 'in'): SheetFact[] {
  const { die, station, sensor } = bend.setup
  const { tube } = bend
  const axes = axesText(bend)
  return [
    { name: say.part, value: `${apart(bend.part)}, ${words.bendOf(bend.piece, bend.bendNumber)}` },
    ...revisionFacts(bend),
    { name: say.operator, value: bend.operator },
    { name: say.station, value: station },
    { name: say.setup, value: String(bend.setupId) },
    {
      name: say.die,
      value: `${apart(die.name)}, OD ${length(die.odMm, unit)}, CLR ${length(die.clrMm, unit)}`,
    },
    { name: say.tube, value: `${length(tube.odMm, unit)} × ${length(tube.wallMm, unit)}` },
    ...metalFacts(tube),
    { name: say.lot, value: tube.lot },
    { name: say.sensor, value: sensorText(sensor) },
    { name: say.datum, value: angle(bend.datumDeg) },
    { name: say.lead, value: `${fixed(bend.leadS, 2)} s` },
    { name: say.chain, value: bend.chainRevision },
    ...(axes === null ? [] : [{ name: say.axes, value: axes }]),
    { name: say.calibration, value: bend.calibration },
    { name: say.verification, value: checkText(bend) },
    { name: say.firmware, value: bend.firmware ?? none },
    { name: say.software, value: bend.software },
  ]
}

/** What the model said before; empty when it said nothing. */
export function predictionFacts({ prediction }: Bend): SheetFact[] {
  if (prediction === null) return []
  const { springbackDeg, lowDeg, highDeg, degreesOfFreedom, bendsLearned } = prediction
  return [
    { name: say.predicted, value: degrees(springbackDeg, 2) },
    { name: say.interval, value: `${degrees(lowDeg, 2)} … ${degrees(highDeg, 2)}` },
    { name: say.freedom, value: fixed(degreesOfFreedom, 1) },
    { name: say.bendsLearned, value: String(bendsLearned) },
  ]
}

/** Its place in the chain of hashes. */
export function placeFacts(bend: Bend): SheetFact[] {
  return [
    { name: say.rawLines, value: String(bend.rawLines) },
    { name: say.rawHash, value: bend.rawSha256, isHash: true },
    { name: say.hash, value: bend.hash, isHash: true },
    { name: say.previous, value: bend.previousHash, isHash: true },
  ]
}
