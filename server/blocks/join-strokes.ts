import { type Static, Type } from 'typebox'
import type { HostLine } from '../bend/host-line.ts'
import { defineBlock, type Frame, item, number } from '../chain/block.ts'
import { BAD, UNCERTAIN } from '../chain/column.ts'
import { strict } from '../chain/strict.ts'
import type { DatumTaken } from './datum.ts'
import type { LeftTube } from './let-off.ts'

/** Further back than this, the arm need not be at the tube: the least springback is about 0.5°. */
const AT_TUBE_DEG = 0.3
/** As long after the top the bend watch still reads the top from the arm's way back. */
const TOP_READ_S = 0.5
/** Forward by this much more than the backlash, the arm has taken hold: more than noise. */
const TAKES_HOLD_DEG = 0.3

const parameters = strict({
  biteDeg: Type.Number({
    minimum: 0,
    maximum: 90,
    default: 0,
    description: 'Back by more than this, the arm takes a new bite, degrees; 0: it never does.',
  }),
  backlashDeg: Type.Number({
    minimum: 0,
    maximum: 20,
    default: 0,
    description: 'How far the arm goes at a new bite before the die follows, degrees.',
  }),
})
type Parameters = Static<typeof parameters>

const inputs = {
  angle: number('deg', 'Of the arm, from the datum.'),
  datum: item<DatumTaken>('datum', 'The arm is at the tube here, and begins anew.'),
  command: item<HostLine>('host-line', '`close`: nothing is to be joined any more.'),
  bears: number('1', 'Whether the arm bears on the tube: 1 yes, 0 no.'),
  pressed: number('deg', 'How far the load presses the tube past where it stands.'),
  left: item<LeftTube>('left-tube', 'Where the arm was when the load was gone.'),
}
const outputs = {
  angle: number('deg', 'Of the tube, as far as the arm shows it.'),
  left: item<LeftTube>('left-tube', 'The same on this scale.'),
}

interface Memory {
  /** A datum was taken, and the bend after it is not over. */
  joins: boolean
  /** What the strokes before have brought, degrees. */
  shiftDeg: number
  /** The arm was moved back from the tube and is not at it. */
  away: boolean
  /** It was at the tube since the datum: seen by pressure or switch. */
  met: boolean
  /** Where the tube was left. */
  placeDeg: number
  lastDeg: number
  /** Of the last two readings. */
  meanDeg: number
  started: boolean
  /** Furthest of this stroke, and when; furthest back since, on the arm's own scale. */
  topDeg: number
  topS: number
  lowDeg: number
}

/**
 * Joins the strokes of an arm that goes back for a new bite: the angle goes on where it was. With a pressure or
 * a switch the arm is known to be at the tube or not. Without, it is taken to have left when it is back by
 * more than a bite, and to hold again when it comes forward by more than its backlash; a pawl holds the tube
 * meanwhile, or the angle would go on too high by what springs back. Away from the tube the angle is bad then.
 */
export const joinStrokes = defineBlock({
  kind: 'join-strokes',
  summary: 'Joins the strokes of an arm that goes back for a new bite.',
  parameters,
  inputs,
  outputs,
  optional: ['bears', 'pressed', 'left'],
  start: newMemory,
  step(frame, memory, options: Parameters, rows) {
    const { angle, bears } = frame.in
    const { angle: out } = frame.out
    for (let row = 0; row < rows; row++) {
      obey(frame, memory, row)
      const quality = angle.quality[row] as number
      out.quality[row] = quality
      if (quality < BAD && memory.joins) {
        const isSeen = (bears.quality[row] as number) < BAD
        const worst = isSeen ? follow(frame, memory, row) : guess(frame, memory, row, options)
        out.quality[row] = Math.max(quality, worst)
      }
      out.value[row] = memory.away
        ? memory.placeDeg
        : (angle.value[row] as number) + memory.shiftDeg
    }
  },
})

function newMemory(): Memory {
  return {
    joins: false,
    shiftDeg: 0,
    away: false,
    met: false,
    placeDeg: 0,
    lastDeg: 0,
    meanDeg: 0,
    started: false,
    topDeg: 0,
    topS: 0,
    lowDeg: 0,
  }
}

type JoinFrame = Frame<typeof inputs, typeof outputs>

function obey({ in: input }: JoinFrame, memory: Memory, row: number): void {
  if (input.command.items[row]?.act === 'close') Object.assign(memory, newMemory())
  if (input.datum.items[row]) Object.assign(memory, newMemory(), { joins: true })
}

/** With the load seen: the tube stands where it was left, until the arm bears again. */
function follow({ in: input, out }: JoinFrame, memory: Memory, row: number): number {
  const armDeg = input.angle.value[row] as number
  const left = input.left.items[row]
  if (input.bears.value[row] === 1) {
    if (memory.away)
      memory.shiftDeg = memory.placeDeg + (input.pressed.value[row] as number) - armDeg
    memory.away = false
    memory.met = true
  } else if (memory.met && !memory.away) {
    memory.away = true
    memory.placeDeg = (left?.angleDeg ?? armDeg) + memory.shiftDeg
    if (left) {
      out.left.items[row] = { ...left, angleDeg: memory.placeDeg }
      out.left.count++
    }
  }
  return 0
}

/** With nothing but the angle. @returns the quality that it has at the best. */
function guess({ in: input }: JoinFrame, memory: Memory, row: number, options: Parameters): number {
  const armDeg = input.angle.value[row] as number
  const timeS = input.angle.timeS[row] as number
  // A turn may be sharp, so a longer mean would miss it; the largest of single readings would be noise.
  memory.meanDeg = memory.started ? (memory.lastDeg + armDeg) / 2 : armDeg
  memory.lastDeg = armDeg
  if (!memory.started || memory.meanDeg > memory.topDeg) noteTop(memory, timeS)
  memory.started = true
  if (memory.away) comeBack(memory, options)
  else goAway(memory, timeS, options)
  if (memory.away) return BAD
  return memory.topDeg - memory.meanDeg > AT_TUBE_DEG ? UNCERTAIN : 0
}

function noteTop(memory: Memory, timeS: number): void {
  if (memory.away) return
  memory.topDeg = memory.meanDeg
  memory.topS = timeS
}

function goAway(memory: Memory, timeS: number, { biteDeg }: Parameters): void {
  const isBack = biteDeg > 0 && memory.topDeg - memory.meanDeg > biteDeg
  if (!(isBack && timeS - memory.topS > TOP_READ_S)) return
  memory.away = true
  memory.placeDeg = memory.topDeg + memory.shiftDeg
  memory.lowDeg = memory.meanDeg
}

function comeBack(memory: Memory, { backlashDeg }: Parameters): void {
  memory.lowDeg = Math.min(memory.lowDeg, memory.meanDeg)
  const takesHoldDeg = memory.lowDeg + backlashDeg
  if (!(memory.meanDeg > takesHoldDeg + TAKES_HOLD_DEG)) return
  memory.away = false
  memory.shiftDeg = memory.placeDeg - takesHoldDeg
  memory.topDeg = memory.meanDeg
}
