import type { Machine } from './machine.ts'

/** How the swing arm takes hold of the die. */
export interface ArmSpec {
  /** After so much it goes back for a new bite, degrees; 0: its stroke is as long as any bend. */
  readonly strokeDeg: number
  /** What it goes at a new bite before the die follows, degrees. */
  readonly backlashDeg: number
}

export const ARM: ArmSpec = { strokeDeg: 0, backlashDeg: 0 }
/** A ratchet arm as hand-fed benders have it. */
export const RATCHET_ARM: ArmSpec = { strokeDeg: 32, backlashDeg: 1.4 }

/** An arm beside the die: a pawl holds the die while the arm is away. Degrees on the die's scale. */
export interface Arm {
  readonly spec: ArmSpec
  armDeg: number
  /** `at-tube`: it moves the die, or follows it. All else is by itself. */
  doing: 'at-tube' | 'stopping' | 'going-back' | 'taking-hold' | 'leaving' | 'away' | 'coming'
  /** Where this bite began, on the die. */
  biteFromDeg: number
  /** Arm less die while they are together. */
  aheadDeg: number
  /** Where it goes by itself, and how long it still waits there. */
  toDeg: number
  waitS: number
}

/** Figures of our own judgement; an arm is let swing by hand or by a small valve. */
const BACK_DEG_PER_S = 30
const HOLD_DEG_PER_S = 8
/** It leaves the tube by so much when that was let off, and waits. */
const LEAVES_DEG = 5
/** The die stands before the arm lets go of it. */
const STANDS_S = 0.4

export const makeArm = (spec: ArmSpec): Arm => ({
  spec,
  armDeg: 0,
  doing: 'at-tube',
  biteFromDeg: 0,
  aheadDeg: 0,
  toDeg: 0,
  waitS: 0,
})

/** Whether it bears on the die, so that the ram's pressure is there. */
export const bears = ({ doing }: Arm): boolean => doing === 'at-tube' || doing === 'stopping'

/** Whether the ram moves the arm alone, so that the die must be left as it is. */
export const isBusy = ({ doing }: Arm): boolean => doing !== 'at-tube' && doing !== 'away'

/** Whether it goes for a new bite: whoever bends waits for it, and then bends on. */
export const takesBite = ({ doing }: Arm): boolean =>
  doing === 'stopping' || doing === 'going-back' || doing === 'taking-hold'

/** Follows the die, after it was moved. `presses`: somebody opens the valve to bend on. */
export function stepArm(arm: Arm, machine: Machine, dtS: number, presses: boolean): void {
  const { contact, dieDeg } = machine
  if (contact === 'free' || contact === 'slack') begin(arm, dieDeg)
  STEPS[arm.doing](arm, machine, dtS, presses)
  if (bears(arm)) arm.armDeg = dieDeg + arm.aheadDeg
}

/** A new tube: the arm and the die are together again where they were before the first bite. */
function begin(arm: Arm, dieDeg: number): void {
  arm.doing = 'at-tube'
  arm.aheadDeg = 0
  arm.biteFromDeg = dieDeg
}

type Step = (arm: Arm, machine: Machine, dtS: number, presses: boolean) => void

/** @returns whether it is there. */
function go(arm: Arm, dtS: number, degPerS: number): boolean {
  const wayDeg = arm.toDeg - arm.armDeg
  const stepDeg = Math.min(Math.abs(wayDeg), degPerS * dtS)
  arm.armDeg += Math.sign(wayDeg) * stepDeg
  return Math.abs(wayDeg) <= stepDeg
}

const STEPS: Record<Arm['doing'], Step> = {
  'at-tube'(arm, { contact, dieDeg }, _, presses) {
    const { strokeDeg } = arm.spec
    if (contact === 'standing' && !presses) {
      arm.doing = 'leaving'
      arm.toDeg = arm.armDeg - LEAVES_DEG
    } else if (contact === 'loaded' && strokeDeg > 0 && dieDeg - arm.biteFromDeg >= strokeDeg) {
      arm.doing = 'stopping'
      arm.waitS = STANDS_S
    }
  },
  stopping(arm, { ramDegPerS, contact }, dtS) {
    // Let off in this very moment, it is no new bite.
    if (contact !== 'loaded') arm.doing = 'at-tube'
    if (ramDegPerS > 0) return
    arm.waitS -= dtS
    if (arm.waitS > 0) return
    arm.doing = 'going-back'
    arm.toDeg = arm.armDeg - arm.spec.strokeDeg
  },
  'going-back'(arm, _, dtS) {
    if (!go(arm, dtS, BACK_DEG_PER_S)) return
    arm.doing = 'taking-hold'
    arm.toDeg = arm.armDeg + arm.spec.backlashDeg
  },
  'taking-hold'(arm, { dieDeg }, dtS) {
    if (!go(arm, dtS, HOLD_DEG_PER_S)) return
    arm.doing = 'at-tube'
    arm.aheadDeg = arm.armDeg - dieDeg
    arm.biteFromDeg = dieDeg
  },
  leaving(arm, _, dtS) {
    if (go(arm, dtS, BACK_DEG_PER_S)) arm.doing = 'away'
  },
  away(arm, { contact, dieDeg }, _, presses) {
    if (contact === 'standing' && !presses) return
    arm.doing = 'coming'
    arm.toDeg = dieDeg + arm.aheadDeg
  },
  coming(arm, _, dtS) {
    if (go(arm, dtS, HOLD_DEG_PER_S)) arm.doing = 'at-tube'
  },
}
