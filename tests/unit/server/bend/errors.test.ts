import { describe, expect, it } from 'vitest'
import { DomainError } from '../../../../server/bend/errors.ts'

describe('DomainError', () => {
  it('carries its code, its facts and one sentence', () => {
    const error = new DomainError('TUBE_WALL', { odMm: 25, wallMm: 13 })
    expect(error).toBeInstanceOf(Error)
    expect(error.name).toBe('DomainError')
    expect(error.code).toBe('TUBE_WALL')
    expect(error.facts).toEqual({ odMm: 25, wallMm: 13 })
    expect(error.message).toBe(
      'The wall must be more than 0 and at most 12.5 mm, half the diameter, got 13.',
    )
  })

  it('says NaN as NaN', () => {
    expect(new DomainError('TUBE_OD', { odMm: Number.NaN }).message).toContain('got NaN.')
  })

  it('lists what is known when a material is not', () => {
    const error = new DomainError('MATERIAL_UNKNOWN', { key: 'lead', known: 'a, b' })
    expect(error.message).toBe('There is no material "lead"; known are a, b.')
  })
})
