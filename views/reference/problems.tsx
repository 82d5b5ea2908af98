// What does this refusal mean, and what is there to do about it?

import type { JSX } from 'preact'
import type { ProblemCode } from '../../server/http/problem-codes.ts'
import { Layout } from '../layout.tsx'

export function ProblemsPage({ codes }: { codes: readonly ProblemCode[] }): JSX.Element {
  return (
    <Layout title="Refusals and their codes">
      <h1>Refusals and their codes</h1>
      <p class="lead">
        Every refusal has a code that stays the same. Nothing was written when you see one. What can be
        called, and with which fields, stands in the <a href="/api/v1/docs">reference of the interface</a>.
      </p>
      <div class="table-scroll">
        <table class="stack">
          <thead>
            <tr>
              <th scope="col">Code</th>
              <th scope="col">Status</th>
              <th scope="col">What it means</th>
              <th scope="col">What to do</th>
            </tr>
          </thead>
          <tbody>
            {codes.map((one) => (
              <tr key={one.code} id={one.code}>
                <th scope="row">
                  <code>{one.code}</code>
                </th>
                <td data-label="Status">{one.status}</td>
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
