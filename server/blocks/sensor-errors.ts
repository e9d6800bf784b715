import type { DeviceReport } from './device-report.ts'

/** Bit of the flags: SPECIFICATION.md, "Flags". */
const SENSOR_FAULT = 1

/** What a board has said of its sensor's errors: plain data. */
export interface SensorErrors {
  /** Of the last status; -1 before the first. */
  count: number
  /** What the flags say now. */
  isFaulty: boolean
  /** They said so at some time since the last status: what that one counts is known already. */
  wasFaulty: boolean
}

export const noErrorsYet = (): SensorErrors => ({ count: -1, isFaulty: false, wasFaulty: false })

/**
 * Whether a report tells of errors that were not known before: by the flag of the samples, once for as long as
 * it stands, or by the status, should every line with the flag have been lost on the way.
 */
export function mayMissCounts(errors: SensorErrors, report: DeviceReport): boolean {
  if (report.kind === 'flags') return takeFlags(errors, report.flags)
  return report.kind === 'status' && takeCount(errors, report.sensorErrors)
}

function takeFlags(errors: SensorErrors, flags: number): boolean {
  const isFaulty = (flags & SENSOR_FAULT) !== 0
  const isNews = isFaulty && !errors.isFaulty
  errors.isFaulty = isFaulty
  errors.wasFaulty ||= isFaulty
  return isNews
}

function takeCount(errors: SensorErrors, count: number): boolean {
  const isNews = errors.count >= 0 && count > errors.count && !errors.wasFaulty
  errors.count = count
  errors.wasFaulty = errors.isFaulty
  return isNews
}
