// The OpenAPI 3.1 description, generated from the schemas that check the requests and the table of operations.

import * as z from 'zod'
import { operations } from './operations.ts'
import type { Operation } from './operations.ts'
import { ProblemAnswer } from './schemas/answers.ts'

type Json = { readonly [name: string]: unknown }

const reference = (id: string) => `#/components/schemas/${id}`

/** The whole description; `version` is the product's. */
export function openapi(version: string): Json {
  return {
    openapi: '3.1.1',
    info: {
      title: 'Holdbell',
      version,
      description:
        'When to hold the charge of a home battery for a demand-response event, and when to release it. Instants are RFC 3339 with offset; units are in the names of the fields; unknown fields are refused.',
    },
    paths: paths(),
    components: {
      schemas: schemas(),
      securitySchemes: {
        household: {
          type: 'http',
          scheme: 'bearer',
          description: "The secret of the household's link.",
        },
      },
    },
  }
}

function paths(): Json {
  const all: Record<string, Record<string, unknown>> = {}
  for (const operation of operations) {
    const path = operation.path.replaceAll(/:(\w+)/g, '{$1}')
    all[path] = { ...all[path], [operation.method]: describe(operation) }
  }
  return all
}

function describe(operation: Operation): Json {
  const parameters = [...pathParameters(operation), ...queryParameters(operation)]
  return {
    operationId: operationId(operation),
    summary: operation.summary,
    ...(operation.secured ? { security: [{ household: [] }] } : {}),
    ...(parameters.length > 0 ? { parameters } : {}),
    ...requestBody(operation),
    responses: responses(operation),
  }
}

const pathParameters = ({ path }: Operation) =>
  [...path.matchAll(/:(\w+)/g)].map(([, name]) => ({
    name,
    in: 'path',
    required: true,
    schema: { type: 'string' },
  }))

const queryParameters = ({ query }: Operation) =>
  Object.entries(query?.shape ?? {}).map(([name, schema]) => ({
    name,
    in: 'query',
    required: false,
    schema: without(z.toJSONSchema(schema as z.ZodType, { io: 'input' }), '$schema'),
  }))

// A file is described by its media type alone (OpenAPI 3.1.1, "Considerations for File Uploads").
function requestBody({ request, files, bodyOptional }: Operation): Json {
  if (files !== undefined)
    return {
      requestBody: {
        required: true,
        content: Object.fromEntries(files.map((mediaType) => [mediaType, {}])),
      },
    }
  if (request === undefined) return {}
  const required = bodyOptional !== true
  return { requestBody: { required, content: content('application/json', request) } }
}

// `postApiEventsId`: made of the method and the path, so that no two are the same.
const operationId = ({ method, path }: Operation) =>
  method +
  path
    .split(/[^A-Za-z]+/)
    .map((word) => word.charAt(0).toUpperCase() + word.slice(1))
    .join('')

const content = (mediaType: string, schema: z.ZodType) => ({
  [mediaType]: { schema: { $ref: reference(idOf(schema)) } },
})

function idOf(schema: z.ZodType): string {
  const id = schema.meta()?.id
  if (id === undefined) throw new TypeError('Cannot describe a schema that has no id')
  return id
}

// RFC 9110 §15 gives these statuses their names.
const statusWords: Readonly<Record<number, string>> = {
  200: 'OK',
  201: 'Created',
  204: 'No Content',
  400: 'Bad Request',
  401: 'Unauthorized',
  404: 'Not Found',
  409: 'Conflict',
  413: 'Content Too Large',
  415: 'Unsupported Media Type',
  422: 'Unprocessable Content',
}

const responses = (operation: Operation): Json => ({
  ...Object.fromEntries(
    Object.entries(operation.answers).map(([status, schema]) => [
      status,
      {
        description: statusWords[Number(status)],
        ...(schema === null ? {} : { content: content('application/json', schema) }),
        ...(operation.file === undefined ? {} : { content: { [operation.file]: {} } }),
      },
    ]),
  ),
  ...Object.fromEntries(
    operation.problems.map((status) => [
      status,
      {
        description: statusWords[status],
        content: content('application/problem+json', ProblemAnswer),
      },
    ]),
  ),
})

// Every schema with an id. Requests are described as they are sent, before defaults and instants are
// read; answers hold nothing that is read, so the same description does for both.
function schemas(): Json {
  const { schemas: all } = z.toJSONSchema(z.globalRegistry, { io: 'input', uri: reference })
  return Object.fromEntries(
    Object.entries(all).map(([id, schema]) => [id, without(schema, '$schema', '$id')]),
  )
}

const without = (schema: Json, ...names: readonly string[]): Json =>
  Object.fromEntries(Object.entries(schema).filter(([name]) => !names.includes(name)))
