import { describe, expect, test } from 'vitest'
import {
  HISTORY_ERRORS,
  type HistoryCode,
  HistoryError,
} from '../../../../server/history/errors.ts'
import { ERRORS, type ErrorCode, isErrorCode, sentenceOf } from '../../../../server/web/errors.ts'
import { answerFor, refused } from '../../../../server/web/refuse.ts'
import { Refused } from '../../../../server/web/station-door.ts'

const codes = Object.keys(ERRORS) as ErrorCode[]

const foreign = (message: string, more: object = {}) => Object.assign(new Error(message), more)

describe('the table', () => {
  test.each(codes)('%s: a name in kebab-case, a status of its class, one sentence', (code) => {
    const [status, sentence] = ERRORS[code]
    expect(code).toMatch(/^[a-z]+(-[a-z]+)*$/)
    expect(status).toBeGreaterThanOrEqual(400)
    expect(status).toBeLessThan(600)
    expect(sentence).toMatch(/^[A-Z][^\n]{10,100}\.$/)
  })

  test.each(['constructor', '__proto__', 'toString', 'no-such-code', '', undefined, null, 7, {}])(
    '%j is no code of it',
    (code) => {
      expect(isErrorCode(code)).toBe(false)
    },
  )

  test('fills the gap in a sentence, literally', () => {
    expect(sentenceOf('no-such-bend', 12)).toBe('There is no bend number 12 in the history.')
    expect(sentenceOf('no-such-address', '/a?$&')).toContain('nothing at /a?$&;')
  })
})

describe('an error becomes the envelope', () => {
  test.each(codes)('%s, refused by us', (code) => {
    expect(answerFor(refused(code, 'x'))).toEqual({
      status: ERRORS[code][0],
      body: { code, sentence: sentenceOf(code, 'x') },
    })
  })

  test('with the field, when there is one', () => {
    const answer = answerFor(new Refused('bad-input', 'wall is too thick.', 'tube.wallMm'))
    expect(answer.body).toEqual({
      code: 'bad-input',
      sentence: 'wall is too thick.',
      field: 'tube.wallMm',
    })
  })

  test('a refusal of the station with a code of its own keeps its sentence', () => {
    expect(answerFor(new Refused('moon-is-full', 'Wait for the next moon.'))).toEqual({
      status: 409,
      body: { code: 'not-now', sentence: 'Wait for the next moon.' },
    })
  })

  test.each(Object.keys(HISTORY_ERRORS) as HistoryCode[])('%s of the history', (code) => {
    const error = new HistoryError(code, { at: 'the folder', what: 'this' })
    const { status, body } = answerFor(error)
    expect(body.sentence).toBe(error.message)
    expect(body.code).not.toBe('internal')
    expect(status).not.toBe(500)
  })

  test('a full disk is told from a broken one and from a bad question', () => {
    expect(answerFor(new HistoryError('HISTORY_DISK_FULL')).status).toBe(507)
    expect(answerFor(new HistoryError('HISTORY_DISK_FAULT')).status).toBe(503)
    expect(answerFor(new HistoryError('HISTORY_BAD_QUERY')).status).toBe(400)
  })

  test.each([
    ['FST_ERR_CTP_BODY_TOO_LARGE', 413, 'too-large'],
    ['FST_ERR_CTP_INVALID_MEDIA_TYPE', 415, 'not-json'],
    ['FST_ERR_CTP_EMPTY_JSON_BODY', 400, 'bad-json'],
    ['FST_ERR_CTP_INVALID_JSON_BODY', 400, 'bad-json'],
    ['FST_ERR_CTP_INVALID_CONTENT_LENGTH', 400, 'bad-request'],
    ['FST_ERR_BAD_URL', 400, 'bad-request'],
    ['ERR_HTTP_REQUEST_TIMEOUT', 408, 'timed-out'],
    ['HPE_HEADER_OVERFLOW', 431, 'headers-too-large'],
    ['HPE_INVALID_METHOD', 400, 'bad-request'],
  ])('%s of the framework is %i %s', (code, status, ours) => {
    const answer = answerFor(foreign('words not meant for people', { code }), 'x')
    expect(answer).toMatchObject({ status, body: { code: ours } })
    expect(answer.body.sentence).not.toContain('words not meant')
  })

  test.each([
    [400, 'bad-request'],
    [403, 'no-such-address'],
    [404, 'no-such-address'],
    [418, 'bad-request'],
    [503, 'internal'],
    [500, 'internal'],
    [599, 'internal'],
    [200, 'internal'],
    [Number.NaN, 'internal'],
  ])('an unknown error of status %d is %s', (statusCode, code) => {
    expect(answerFor(foreign('secret', { statusCode })).body.code).toBe(code)
  })

  test.each([
    ['an error', foreign('/home/secret.db is broken')],
    ['a string', '/home/secret.db'],
    ['nothing', undefined],
    ['null', null],
    ['an object', { code: 'not-now', message: '/home/secret.db' }],
    ['an error that claims a code of the table', foreign('/home/secret.db', { code: 'not-now' })],
    ['an error whose code is an object', foreign('/home/secret.db', { code: {} })],
    ['an error whose code is inherited', foreign('/home/secret.db', { code: 'constructor' })],
  ])('%s leaks nothing', (_, error) => {
    expect(answerFor(error)).toEqual({
      status: 500,
      body: { code: 'internal', sentence: sentenceOf('internal') },
    })
  })
})
