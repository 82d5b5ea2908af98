// Which calls are there, who may make them, and what do they take? The reference as a page.

import type { JSX } from 'preact'
import type { OpenApi, Operation, Schema, WebhookOperation } from '../../server/http/openapi.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'

export function ReferencePage({ document }: { document: OpenApi }): JSX.Element {
  const operations = Object.entries(document.paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, operation]) => ({ path, method: method.toUpperCase(), operation })),
  )
  return (
    <Layout title={say.reference.referenceOfTheInterface2}>
      <h1>{say.reference.referenceOfTheInterface2}</h1>
      <p class="lead">{String(document.info.description)}</p>
      <p>
        {say.reference.forProgramsOpenapiRefusals(
          <a href="/api/v1/openapi.json">{'openapi.json'}</a>,
          document.openapi,
          <a href="/problems">{say.reference.theirCodes}</a>,
          <code>{say.reference.authorizationBearer}</code>,
          <a href="/tokens">{say.reference.tokens}</a>,
        )}
      </p>
      <nav aria-label={say.reference.partsOfTheInterface}>
        <ul class="reference-tags link-list">
          {document.tags.map((tag) => (
            <li key={tag.name}>
              <a href={`#${tag.name}`}>{tag.name}</a>
            </li>
          ))}
          <li>
            <a href="#webhook-messages">{say.reference.webhookMessages}</a>
          </li>
        </ul>
      </nav>
      {document.tags.map((tag) => (
        <section key={tag.name} aria-labelledby={tag.name}>
          <h2 id={tag.name}>{tag.name}</h2>
          {operations
            .filter(({ operation }) => operation.tags.includes(tag.name))
            .map((one) => (
              <Call key={one.operation.operationId} {...one} document={document} />
            ))}
        </section>
      ))}
      <section aria-labelledby="webhook-messages">
        <h2 id="webhook-messages">{say.reference.webhookMessages}</h2>
        <p>{say.reference.webhookSigned}</p>
        <p>{say.reference.webhookTries}</p>
        {Object.entries(document.webhooks).map(([event, { post }]) => (
          <Message key={event} event={event} operation={post} document={document} />
        ))}
      </section>
    </Layout>
  )
}

function Call(props: { path: string; method: string; operation: Operation; document: OpenApi }): JSX.Element {
  const { operation, document } = props
  const body = operation.requestBody?.content['application/json']?.schema
  const fields = body ? fieldsOf(resolved(body, document), document) : []
  const query = (operation.parameters ?? []).filter((parameter) => parameter.in === 'query')
  const roles = operation['x-roles']
  const refusals = Object.keys(operation.responses).filter((status) => Number(status) >= 400)
  return (
    <details class="call" id={operation.operationId}>
      <summary>
        <span>
          <code>
            <b>{props.method}</b> {props.path}
          </code>{' '}
          <span class="soft">{operation.summary}</span>
        </span>
      </summary>
      <p class="soft">
        {say.reference.answersRefusesWith(
          roles === undefined ? say.reference.anybody : say.reference.members(roles.join(', ')),
          Object.keys(operation.responses)
            .filter((status) => Number(status) < 400)
            .join(say.reference.or),
          refusals.join(', '),
        )}
      </p>
      {query.length === 0 ? null : (
        <p>
          {say.reference.query(
            query.map((parameter, index) => (
              <>
                {index === 0 ? '' : ', '}
                <code>{parameter.name}</code>
              </>
            )),
          )}
        </p>
      )}
      <FieldTable fields={fields} />
    </details>
  )
}

function Message(props: { event: string; operation: WebhookOperation; document: OpenApi }): JSX.Element {
  const { operation, document } = props
  const schema = operation.requestBody.content['application/json'].schema
  return (
    <details class="call" id={operation.operationId}>
      <summary>
        <span>
          <code>
            <b>{props.event}</b>
          </code>{' '}
          <span class="soft">{operation.summary}</span>
        </span>
      </summary>
      <FieldTable fields={fieldsOf(schema, document)} />
    </details>
  )
}

function FieldTable({ fields }: { fields: readonly Field[] }): JSX.Element | null {
  if (fields.length === 0) return null
  return (
    <div class="table-scroll">
      <table class="stack">
        <thead>
          <tr>
            <th scope="col">{say.reference.field}</th>
            <th scope="col">{say.reference.kind}</th>
            <th scope="col">{say.reference.needed}</th>
            <th scope="col">{say.reference.meaning}</th>
          </tr>
        </thead>
        <tbody>
          {fields.map((field) => (
            <tr key={field.path}>
              <th scope="row">
                <code>{field.path}</code>
              </th>
              <td data-label={say.reference.kind}>{field.kind}</td>
              <td data-label={say.reference.needed}>{field.needed ? say.reference.yes : say.reference.no}</td>
              <td>{field.meaning}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}

interface Field {
  path: string
  kind: string
  needed: boolean
  meaning: string
}

function resolved(schema: Schema, document: OpenApi): Schema {
  const name = schema.$ref?.replace('#/components/schemas/', '')
  return (name === undefined ? undefined : document.components.schemas[name]) ?? schema
}

/** Every field once, in the order of the schema; of a choice, the fields of each branch. */
function fieldsOf(schema: Schema, document: OpenApi, prefix = '', depth = 0): Field[] {
  const whole = resolved(schema, document)
  const fields = new Map<string, Field>()
  const add = (field: Field) => {
    if (!fields.has(field.path)) fields.set(field.path, field)
  }
  for (const [name, property] of Object.entries(whole.properties ?? {})) {
    const part = resolved(property, document)
    const path = prefix === '' ? name : `${prefix}.${name}`
    add({
      path,
      kind: kindOf(part, document),
      needed: whole.required?.includes(name) ?? false,
      meaning: part.description ?? '',
    })
    const isQuantity = Boolean(part.properties?.value && part.properties?.unit)
    if (depth < 3 && !isQuantity) for (const inner of fieldsOf(part, document, path, depth + 1)) add(inner)
  }
  if (whole.items && depth < 3)
    for (const inner of fieldsOf(whole.items, document, `${prefix}[]`, depth + 1)) add(inner)
  for (const branch of [...(whole.anyOf ?? []), ...(whole.oneOf ?? []), ...(whole.allOf ?? [])])
    for (const inner of fieldsOf(branch, document, prefix, depth)) add(inner)
  return [...fields.values()]
}

function kindOf(schema: Schema, document: OpenApi): string {
  const whole = resolved(schema, document)
  if (whole.properties?.value && whole.properties.unit) {
    const units = whole.properties.unit.enum
    return say.reference.quantityIn(Array.isArray(units) ? units.join(', ') : say.reference.itsUnit)
  }
  if (Array.isArray(whole.enum)) return whole.enum.map(String).join(' | ')
  if (whole.const !== undefined) return String(whole.const)
  if (whole.items) return say.reference.listOf(kindOf(whole.items, document))
  const choices = [...(whole.anyOf ?? []), ...(whole.oneOf ?? [])]
  if (choices.length > 0)
    return [...new Set(choices.map((choice) => kindOf(choice, document)))].join(say.reference.or)
  const type = Array.isArray(whole.type) ? whole.type.join(say.reference.or) : (whole.type ?? 'any')
  return typeof whole.format === 'string' ? `${type} (${whole.format})` : type
}
