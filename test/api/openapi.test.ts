// The description: as OpenAPI 3.1 asks (from memory), and true to the routes that are mounted.

import { describe, expect, it } from 'vitest'
import { operations } from '../../src/web/api/operations.ts'
import { api } from './given.ts'

const { app, call } = api()
const { body: description, status } = await call('GET', '/openapi.json')

type Described = {
  operationId: string
  summary: string
  security?: unknown
  parameters?: { name: string; in: string; required: boolean }[]
  requestBody?: { content: Record<string, unknown> }
  responses: Record<string, { description: string }>
}
const paths = description.paths as Record<string, Record<string, Described>>
const all = Object.entries(paths).flatMap(([path, methods]) =>
  Object.entries(methods).map(([method, operation]) => ({ path, method, operation })),
)

const references = (value: unknown): string[] =>
  typeof value !== 'object' || value === null
    ? []
    : Object.entries(value).flatMap(([name, inner]) =>
        name === '$ref' && typeof inner === 'string' ? [inner] : references(inner),
      )

const at = (reference: string) =>
  reference
    .replace(/^#\//, '')
    .split('/')
    .reduce<unknown>((value, name) => (value as Record<string, unknown>)?.[name], description)

describe('GET /openapi.json', () => {
  it('is OpenAPI 3.1 with the version of the product', () => {
    expect(status).toBe(200)
    expect(description.openapi).toMatch(/^3\.1\.\d+$/)
    expect(description.info).toMatchObject({ title: 'Holdbell', version: '9.8.7' })
  })

  it('every reference leads to a schema', () => {
    const found = references(description)
    expect(found.length).toBeGreaterThan(50)
    expect(found.filter((reference) => at(reference) === undefined)).toEqual([])
  })

  // The calls of the HTTP contract that this API has.
  it.each([
    ['post', '/api/plan'],
    ['post', '/api/households'],
    ['get', '/api/household'],
    ['patch', '/api/household'],
    ['delete', '/api/household'],
    ['post', '/api/events'],
    ['patch', '/api/events/{id}'],
    ['delete', '/api/events/{id}'],
    ['post', '/api/readings'],
    ['get', '/api/meter'],
    ['post', '/api/meter'],
    ['delete', '/api/meter'],
    ['post', '/api/messages'],
    ['get', '/api/reminders'],
    ['post', '/api/reminders/{key}/acknowledge'],
    ['post', '/api/reminders/{key}/snooze'],
    ['get', '/healthz'],
  ])('describes %s %s', (method, path) => {
    expect(paths[path]?.[method]?.summary).toMatch(/\w/)
  })

  it('describes the routes that are mounted, no more and no fewer', () => {
    const mounted = app.routes
      .filter(({ method }) => method !== 'ALL')
      .map(({ method, path }) => `${method.toLowerCase()} ${path}`)
    const described = operations.map(({ method, path }) => `${method} ${path}`)
    expect([...new Set(mounted)].toSorted()).toEqual(described.toSorted())
    expect(all.map(({ method, path }) => `${method} ${path}`).toSorted()).toEqual(
      described.map((each) => each.replaceAll(/:(\w+)/g, '{$1}')).toSorted(),
    )
  })

  it('each operation has an id of its own, and each parameter of a path is described', () => {
    const ids = all.map(({ operation }) => operation.operationId)
    expect(new Set(ids).size).toBe(ids.length)
    for (const { path, operation } of all)
      expect(
        (operation.parameters ?? [])
          .filter((each) => each.in === 'path')
          .map(({ name }) => `{${name}}`),
      ).toEqual(path.match(/\{\w+\}/g) ?? [])
  })

  it('a secured operation says so, and really asks for the token', async () => {
    for (const { path, method, operation } of all) {
      const answer = await app.request(path, { method: method.toUpperCase() })
      expect(answer.status === 401, `${method} ${path}`).toBe(operation.security !== undefined)
    }
  })

  it('an operation with a body really wants one', async () => {
    for (const { path, method, operation } of all.filter((each) => each.method !== 'get')) {
      const answer = await call(method.toUpperCase(), path, '[]', { authorization: '' })
      const wants = operation.requestBody !== undefined && operation.security === undefined
      expect(answer.status === 400, `${method} ${path}`).toBe(wants)
    }
  })

  it('a file is described by its types, and what can be said about it by its parameters', () => {
    const { parameters, requestBody } = paths['/api/meter']?.['post'] ?? {}
    expect(Object.keys(requestBody?.content ?? {})).toContain('text/csv')
    expect((parameters ?? []).map(({ name }) => name).toSorted()).toEqual([
      'clock',
      'column',
      'dateOrder',
      'kind',
      'series',
      'stamps',
      'unit',
    ])
    for (const each of parameters ?? [])
      expect(each).toMatchObject({ in: 'query', required: false })
  })

  it('every field of a request is described in words', () => {
    const bare = fieldsWithoutWords('PlanRequest').concat(fieldsWithoutWords('NewHousehold'))
    expect(bare).toEqual([])
  })

  it('carries the bounds of the contract', () => {
    expect(at('#/components/schemas/Battery/properties/capacityKwh')).toMatchObject({
      exclusiveMinimum: 0,
      maximum: 1000,
    })
    expect(at('#/components/schemas/PlanRequest/properties/events')).toMatchObject({
      minItems: 1,
      maxItems: 20,
    })
    expect(at('#/components/schemas/PlanRequest')).toMatchObject({ additionalProperties: false })
  })
})

function fieldsWithoutWords(name: string): string[] {
  const properties = at(`#/components/schemas/${name}/properties`) as Record<string, unknown>
  return Object.entries(properties)
    .filter(([, schema]) => !JSON.stringify(schema).match(/"description"|"\$ref"/))
    .map(([field]) => `${name}.${field}`)
}

it('GET /healthz is up, with the version', async () => {
  const answer = await call('GET', '/healthz')
  expect(answer.status).toBe(200)
  expect(answer.body).toEqual({ status: 'ok', version: '9.8.7' })
})
