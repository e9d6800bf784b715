import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { RouteOptions } from 'fastify'
import { describe, expect, test } from 'vitest'
import { ERRORS, type ErrorCode, statusOf } from '../../server/web/errors.ts'
import { makeFolder, makeWeb } from '../support/web.ts'

type Json = Record<string, unknown>
interface Operation extends Json {
  readonly summary: string
  readonly tags: string[]
  readonly responses: Record<string, Json>
  readonly parameters?: { name: string; in: string; schema: Json }[]
  readonly requestBody?: Json
}
interface Document extends Json {
  readonly openapi: string
  readonly info: Json
  readonly tags: { name: string }[]
  readonly paths: Record<string, Record<string, Operation>>
  readonly components: { schemas: Json; responses: Record<string, Json> }
}

/** The document, and every route that the app registered, as `METHOD /path/{name}`. */
async function read() {
  const dashboardDir = makeFolder()
  writeFileSync(join(dashboardDir, 'index.html'), '<!doctype html>')
  const { app } = makeWeb({ dashboardDir })
  const routes: RouteOptions[] = []
  app.addHook('onRoute', (route) => void routes.push(route))
  const answer = await app.inject('/api/openapi.json')
  const document: Document = answer.json()
  // Every bender has the same once more under an address of its own.
  const listed = routes.filter(({ url }) => !url.startsWith('/api/stations/'))
  const registered = listed.flatMap(({ method, url }) =>
    [method].flat().map((verb) => `${verb} ${url.replace(/:(\w+)/g, '{$1}')}`),
  )
  return { answer, document, registered }
}

const operationsOf = (document: Document) =>
  Object.entries(document.paths).flatMap(([path, item]) =>
    Object.entries(item).map(([verb, operation]) => ({
      name: `${verb.toUpperCase()} ${path}`,
      operation,
    })),
  )

/** Everything of a JSON text that fits, at whatever depth. */
function findAll(value: unknown, fits: (node: Json) => boolean): Json[] {
  if (typeof value !== 'object' || value === null) return []
  const below = Object.values(value).flatMap((inner) => findAll(inner, fits))
  return fits(value as Json) ? [value as Json, ...below] : below
}

const isRefusal = ({ properties }: Json) =>
  typeof properties === 'object' &&
  properties !== null &&
  'code' in properties &&
  'sentence' in properties &&
  'field' in properties

/** The codes that a refusal schema lists. */
const codesIn = (value: unknown): ErrorCode[] =>
  findAll(value, isRefusal).flatMap(
    ({ properties }) => (properties as { code: { enum: ErrorCode[] } }).code.enum,
  )

const OTHER_TYPES: Readonly<Record<string, readonly string[]>> = {
  'GET /api/bends/{id}/raw': ['text/plain'],
  'GET /api/bends/signed': ['application/jsonl'],
  'GET /api/certificate': ['application/pdf'],
  'GET /api/bends/export': ['text/csv; charset=utf-8', 'application/json'],
  'GET /api/photos/{sha256}': ['image/jpeg', 'image/png', 'image/webp'],
}
/** Whose body is no JSON: the image itself. */
const OTHER_BODIES = ['POST /api/photos']

describe('the OpenAPI document', () => {
  test('is one, by the fields that OpenAPI 3.1.0 section 4.8.1 requires', async () => {
    const { answer, document } = await read()
    expect(answer.statusCode).toBe(200)
    expect(answer.headers['content-type']).toContain('application/json')
    expect(document.openapi).toMatch(/^3\.1\.\d+$/)
    expect(document.info).toMatchObject({ title: 'Overbend', version: '0.1.0-fake' })
    for (const path of Object.keys(document.paths)) expect(path).toMatch(/^\//)
  })

  test('describes every route there is, and no other', async () => {
    const { document, registered } = await read()
    const described = operationsOf(document).map(({ name }) => name)
    // The files of the dashboard are no interface: they alone are left out.
    const files = ['HEAD /*', 'GET /*']
    expect(registered.toSorted()).toEqual([...described, ...files].toSorted())
  })

  test('has the routes that the interface page promises', async () => {
    const { document } = await read()
    expect(operationsOf(document).map(({ name }) => name)).toEqual(
      expect.arrayContaining([
        'GET /api/health',
        'GET /api/station',
        'POST /api/station/act',
        'PUT /api/station/setup',
        'PUT /api/station/job',
        'GET /api/station/setups',
        'GET /api/bends',
        'GET /api/bends/{id}',
        'GET /api/bends/{id}/trace',
        'GET /api/bends/{id}/raw',
        'GET /api/materials',
        'POST /api/bench',
        'POST /api/pair',
        'GET /api/history/verify',
        'GET /api/openapi.json',
        'GET /live',
      ]),
    )
  })

  test('gives each operation a summary, a known tag and answers that say what they are', async () => {
    const { document } = await read()
    const tags = document.tags.map(({ name }) => name)
    for (const { name, operation } of operationsOf(document)) {
      expect(operation.summary, name).toMatch(/^[A-Z].{3,}[^.]$/)
      expect(tags, name).toEqual(expect.arrayContaining(operation.tags))
      expect(operation.tags, name).toHaveLength(1)
      for (const [status, response] of Object.entries(operation.responses)) {
        expect(status, name).toMatch(/^[1-5]\d\d$/)
        expect(response['description'], `${name} ${status}`).toBeTypeOf('string')
      }
    }
  })

  test('names a schema for each success', async () => {
    const { document } = await read()
    for (const { name, operation } of operationsOf(document)) {
      if (name === 'GET /live') continue
      const content = operation.responses['200']?.['content'] as Json
      const types = OTHER_TYPES[name] ?? ['application/json']
      expect(Object.keys(content), name).toEqual(types)
      for (const type of types)
        expect(Object.keys((content[type] as Json)['schema'] as Json), name).toContain('type')
    }
  })

  test('declares every {name} of a path as a parameter of it', async () => {
    const { document } = await read()
    for (const { name, operation } of operationsOf(document)) {
      const inPath = [...name.matchAll(/\{(\w+)\}/g)].map(([, parameter]) => parameter)
      const declared = (operation.parameters ?? []).filter((one) => one.in === 'path')
      expect(declared.map((one) => one.name)).toEqual(inPath)
      for (const { name: parameter, schema } of declared)
        expect(schema['type']).toBe(parameter === 'sha256' ? 'string' : 'integer')
    }
  })

  test('describes each body as an object that takes no unknown key', async () => {
    const { document } = await read()
    const verbs = ['POST', 'PUT']
    for (const { name, operation } of operationsOf(document)) {
      const hasBody = verbs.some((verb) => name.startsWith(verb)) && !OTHER_BODIES.includes(name)
      expect('requestBody' in operation, name).toBe(hasBody)
      const schema = findAll(operation.requestBody, (node) => node['type'] === 'object')[0]
      if (hasBody) expect(schema?.['additionalProperties'], name).toBe(false)
    }
  })

  test('points nowhere that is not in it', async () => {
    const { document } = await read()
    const pointers = findAll(document, (node) => typeof node['$ref'] === 'string')
    for (const { $ref } of pointers) {
      const steps = String($ref).replace(/^#\//, '').split('/')
      const target = steps.reduce<unknown>((node, step) => (node as Json)?.[step], document)
      expect(target, String($ref)).toBeDefined()
    }
  })

  test('describes the live stream and its messages', async () => {
    const { document } = await read()
    const operation = document.paths['/live']?.['get']
    expect(operation?.responses['101']?.['description']).toContain('`LiveMessage`')
    expect(Object.keys(operation?.responses ?? {})).toEqual(
      expect.arrayContaining(['101', '401', '403', '421', '426', '503']),
    )
    const { anyOf } = document.components.schemas['LiveMessage'] as { anyOf: Json[] }
    const types = anyOf.map(({ properties }) => (properties as Json)['type'])
    expect(types.map((type) => (type as Json)['const'] ?? (type as Json)['enum'])).toHaveLength(3)
    expect(JSON.stringify(types)).toMatch(/hello.*state.*samples/)
  })
})

describe('the error table and the document', () => {
  test('list the same codes', async () => {
    const { document } = await read()
    const documented = [...new Set(codesIn(document))].toSorted()
    expect(documented).toEqual(Object.keys(ERRORS).toSorted())
  })

  test('agree on the status of each', async () => {
    const { document } = await read()
    let seen = 0
    for (const { name, operation } of operationsOf(document))
      for (const [status, response] of Object.entries(operation.responses))
        for (const code of codesIn(response)) {
          expect(statusOf(code), `${name} ${code}`).toBe(Number(status))
          seen++
        }
    expect(seen).toBeGreaterThan(100)
  })

  test('agree on the sentence of each', async () => {
    const { document } = await read()
    for (const { description, properties } of findAll(document, isRefusal)) {
      const codes = (properties as { code: { enum: ErrorCode[] } }).code.enum
      for (const code of codes) expect(description).toContain(`\`${code}\`: ${ERRORS[code][1]}`)
    }
  })

  test('each route that needs pairing says so, and only those', async () => {
    const { document } = await read()
    const open = operationsOf(document).filter(
      ({ operation }) => !codesIn(operation).includes('not-paired'),
    )
    expect(open.map(({ name }) => name).toSorted()).toEqual(['GET /api/health', 'POST /api/pair'])
  })
})
