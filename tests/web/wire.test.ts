import { Value } from 'typebox/value'
import { describe, expect, test } from 'vitest'
import { Wire } from '../../server/messages/wire.ts'
import { Refused } from '../../server/web/station-door.ts'
import { type App, makeWeb } from '../support/web.ts'

const SERIAL = { kind: 'serial', path: '/dev/ttyUSB0', baud: 9600 }
const MODBUS = {
  ...{ kind: 'modbus', path: '/dev/ttyUSB0', baud: 9600 },
  options: { unitId: 1, function: 'input', register: 0, registersAs: 'int16', scale: 0.01 },
}
const put = (app: App, payload: unknown) =>
  app.inject({ method: 'PUT', url: '/api/wire', payload: payload as object })

describe('PUT /api/wire', () => {
  test.each([
    ['a native board', { ...SERIAL, dialect: 'native' }],
    ['transducers', { ...SERIAL, dialect: 'nmea-xdr', options: { name: 'BEND' } }],
    ['columns', { ...SERIAL, dialect: 'number', options: { separator: 'tab', column: 2 } }],
    ['a converter', { kind: 'tcp', host: '10.0.0.5', port: 4001, dialect: 'native' }],
    ['a polled sensor', MODBUS],
    ['the bench', { kind: 'bench' }],
  ])('takes %s, and it is in force', async (_, wire) => {
    const { app, wire: desk } = makeWeb()
    expect((await put(app, wire)).json()).toEqual({ done: true })
    expect(desk.chosen).toEqual([wire])
    const now = (await app.inject('/api/wire')).json()
    expect(now).toEqual(wire)
    expect(Value.Check(Wire, now)).toBe(true)
  })

  test.each([
    [{}, 'kind', 'kind must be one of serial, tcp, modbus, bench.'],
    [{ kind: 'replay', file: '/x', dialect: 'native' }, 'kind', 'kind must be one of'],
    [{ kind: 7 }, 'kind', 'kind must be one of'],
    [[], 'kind', 'kind must be one of'],
    [SERIAL, 'dialect', 'dialect must be one of native, nmea-xdr, number.'],
    [{ ...SERIAL, dialect: 'smoke' }, 'dialect', 'dialect must be one of'],
    [{ ...SERIAL, dialect: 'modbus-rtu', options: {} }, 'dialect', 'dialect must be one of'],
    [{ ...SERIAL, dialect: '__proto__' }, 'dialect', 'dialect must be one of'],
    [{ ...SERIAL, dialect: 'nmea-xdr' }, 'options', 'options is missing.'],
    [{ ...SERIAL, dialect: 'native', options: {} }, 'options', '"options" is not known here'],
    [{ ...SERIAL, baud: 1, dialect: 'native' }, 'baud', 'baud must be at least 300, not 1.'],
    [{ ...SERIAL, path: '', dialect: 'native' }, 'path', 'path must not be empty'],
    [
      { ...SERIAL, dialect: 'number', options: { column: 0 } },
      'options.column',
      'options.column must be at least 1, not 0.',
    ],
    [
      { ...SERIAL, dialect: 'number', options: { unit: 'rad' } },
      'options.unit',
      'options.unit must be one of "deg", "counts", not "rad".',
    ],
    [
      { ...SERIAL, dialect: 'nmea-xdr', options: { type: 'AA' } },
      'options.type',
      'options.type must look like',
    ],
    [{ kind: 'tcp', host: 'a b', port: 1, dialect: 'native' }, 'host', 'host must look like'],
    [{ kind: 'tcp', host: 'a', port: 0, dialect: 'native' }, 'port', 'port must be at least 1'],
    [
      { ...MODBUS, options: { ...MODBUS.options, unitId: 0 } },
      'options.unitId',
      'options.unitId must be at least 1, not 0.',
    ],
    [
      { ...MODBUS, options: { unitId: 1, function: 'input', register: 0 } },
      'options.registersAs',
      'options.registersAs is missing.',
    ],
    [{ kind: 'bench', seed: 3 }, 'seed', '"seed" is not known here; leave it out.'],
  ])('refuses %j with one sentence, and nothing is applied', async (wire, field, says) => {
    const { app, wire: desk } = makeWeb()
    const answer = await put(app, wire)
    expect(answer.statusCode).toBe(400)
    const { code, sentence, field: named } = answer.json()
    expect({ code, named }).toEqual({ code: 'bad-input', named: field })
    expect(sentence).toContain(says)
    expect(desk.chosen).toEqual([])
  })

  test('passes on the refusal of the moment', async () => {
    const { app, wire } = makeWeb()
    wire.use = () => {
      throw new Refused('not-now', 'The wire cannot change in mid-bend.')
    }
    const answer = await put(app, { kind: 'bench' })
    expect(answer.statusCode).toBe(409)
    expect(answer.json()).toEqual({
      code: 'not-now',
      sentence: 'The wire cannot change in mid-bend.',
    })
  })
})

describe('what can be read', () => {
  test('the ports', async () => {
    const { app, wire } = makeWeb()
    expect((await app.inject('/api/ports')).json()).toEqual(await wire.ports())
  })
  test('the last lines, with what each was taken for', async () => {
    const { app, wire } = makeWeb()
    expect((await app.inject('/api/wire/lines')).json()).toEqual(wire.lines())
  })
})

describe('POST /api/wire/probe', () => {
  const probe = (app: App, payload: object) =>
    app.inject({ method: 'POST', url: '/api/wire/probe', payload })

  test('says what speaks at a port, how sure that is, and the wire that reads it', async () => {
    const { app, wire } = makeWeb()
    expect((await probe(app, { path: '/dev/x' })).json()).toEqual(await wire.probe('/dev/x'))
  })
  test.each([{}, { path: '' }, { path: 7 }, { path: '/dev/x', baud: 9600 }])(
    'refuses %j',
    async (body) => {
      const { app } = makeWeb()
      expect((await probe(app, body)).statusCode).toBe(400)
    },
  )
  test('passes on why a port cannot be had', async () => {
    const { app, wire } = makeWeb()
    wire.probe = () => Promise.reject(new Refused('bad-input', 'There is no port x.', 'path'))
    const answer = await probe(app, { path: 'x' })
    expect(answer.json()).toEqual({
      ...{ code: 'bad-input', sentence: 'There is no port x.', field: 'path' },
    })
  })
})
