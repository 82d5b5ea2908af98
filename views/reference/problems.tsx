// What does this refusal mean, and what is there to do about it?

import type { JSX } from 'preact'
import type { ProblemCode } from '../../server/http/problem-codes.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'

export function ProblemsPage({ codes }: { codes: readonly ProblemCode[] }): JSX.Element {
  return (
    <Layout title={say.reference.refusalsAndTheirCodes}>
      <h1>{say.reference.refusalsAndTheirCodes}</h1>
      <p class="lead">
        {say.reference.everyRefusalHasA(<a href="/api/v1/docs">{say.reference.referenceOfTheInterface}</a>)}
      </p>
      <div class="table-scroll">
        <table class="stack">
          <thead>
            <tr>
              <th scope="col">{say.reference.code}</th>
              <th scope="col">{say.reference.status}</th>
              <th scope="col">{say.reference.whatItMeans}</th>
              <th scope="col">{say.reference.whatToDo}</th>
            </tr>
          </thead>
          <tbody>
            {codes.map((one) => (
              <tr key={one.code} id={one.code}>
                <th scope="row">
                  <code>{one.code}</code>
                </th>
                <td data-label={say.reference.status}>{one.status}</td>
                <td>{one.meaning}</td>
                <td>{one.next}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </Layout>
  )
}
