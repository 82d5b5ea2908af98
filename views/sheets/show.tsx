// What does this model's manual say, as it was typed, and what is that in SI?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { Layout } from '../layout.tsx'
import { Empty } from '../parts/empty.tsx'

export interface FigureLine {
  name: string
  typed: string
  /** Null for what has no unit. */
  si: string | null
}

export interface SheetPageProps {
  shell: Shell
  sheet: { id: string; name: string; kind: string; refrigerant: string; document: string; page: string }
  /** Only what the sheet gives. */
  groups: readonly { title: string; lines: readonly FigureLine[] }[]
  mayChange: boolean
}

export function SheetPage({ shell, sheet, groups, mayChange }: SheetPageProps): JSX.Element {
  return (
    <Layout {...shell} title={sheet.name}>
      <h1>{sheet.name}</h1>
      <p class="lead">
        {sheet.refrigerant}, {sheet.kind}. Read from {sheet.document}, page {sheet.page}.
      </p>
      {mayChange ? (
        <p>
          <a href={`/equipment-sheets/${sheet.id}/edit`}>Change this sheet</a>
        </p>
      ) : null}
      {groups.length === 0 ? (
        <Empty title="No figures entered">
          Systems with this sheet are judged by built-in figures until the manual’s are entered.
        </Empty>
      ) : (
        groups.map((group) => (
          <section class="sheet" key={group.title}>
            <h2>{group.title}</h2>
            <table>
              <thead>
                <tr>
                  <th scope="col">Figure</th>
                  <th scope="col">As typed</th>
                  <th scope="col">In SI</th>
                </tr>
              </thead>
              <tbody>
                {group.lines.map((line) => (
                  <tr key={line.name}>
                    <th scope="row">{line.name}</th>
                    {line.si === null ? (
                      <td colspan={2}>{line.typed}</td>
                    ) : (
                      <>
                        <td>{line.typed}</td>
                        <td>{line.si}</td>
                      </>
                    )}
                  </tr>
                ))}
              </tbody>
            </table>
          </section>
        ))
      )}
      <p class="soft">
        These figures were copied by hand. Where this page and the manual differ, the manual is right.
      </p>
    </Layout>
  )
}
