import type { Clock } from '../link/link.ts'
import { type ProbeResult, type ProbeTry, probePort } from '../link/probe-port.ts'
import type { Probed, WireChoice } from '../messages/wire.ts'
import { Refused } from '../web/station-door.ts'

/** Listens at a port. @throws Refused with one sentence when it cannot be had. */
export const probeFor = async (path: string, clock: Clock): Promise<Probed> =>
  asProbed(path, await probePort(path, { clock }))

/** What was heard, as the wire that reads it. */
function asProbed(path: string, { best, tries, trouble }: ProbeResult): Probed {
  if (trouble !== null) {
    const isBusy = trouble.kind === 'busy'
    throw new Refused(isBusy ? 'not-now' : 'bad-input', `${trouble.reason} ${trouble.hint}`, 'path')
  }
  return {
    wire: best && wireOf(path, best),
    sure: best?.sure ?? 0,
    sentence: best === null ? sentenceOfNone(tries) : `At ${best.baudRate} baud: ${best.why}`,
    tries: tries.map(({ baudRate, dialect, sure, why }) => ({
      ...{ baud: baudRate, dialect, sure, sentence: why },
    })),
  }
}

const sentenceOfNone = (tries: readonly ProbeTry[]): string =>
  tries.some(({ why }) => why.startsWith('Nothing'))
    ? 'Nothing was heard, and no Modbus sensor answers: look at cable and power.'
    : 'Bytes arrive, but at none of the usual rates do they make a dialect that is known here.'

function wireOf(path: string, best: NonNullable<ProbeResult['best']>): WireChoice {
  const { baudRate: baud, dialect, unitId, fit } = best
  if (dialect === 'modbus-rtu')
    return {
      ...{ kind: 'modbus', path, baud },
      // What the registers mean is in the sensor's sheet: this only begins with the first one.
      options: { unitId: unitId ?? 1, function: 'input', register: 0, registersAs: 'int16' },
    }
  if (dialect === 'nmea-xdr') return { kind: 'serial', path, baud, dialect, options: {} }
  if (dialect === 'number')
    return { kind: 'serial', path, baud, dialect, options: { ...fit?.column } }
  return { kind: 'serial', path, baud, dialect: 'native' }
}
