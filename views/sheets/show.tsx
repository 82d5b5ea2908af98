// What does this model's manual say, as it was typed, and what is that in SI?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
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
      <p class="lead">{say.sheets.readFromPage(sheet.refrigerant, sheet.kind, sheet.document, sheet.page)}</p>
      {mayChange ? (
        <p>
          <a href={`/equipment-sheets/${sheet.id}/edit`}>{say.sheets.changeThisSheet}</a>
        </p>
      ) : null}
      {groups.length === 0 ? (
        <Empty title={say.sheets.noFiguresEntered}>{say.sheets.systemsWithThisSheet}</Empty>
      ) : (
        groups.map((group) => (
          <section class="sheet" key={group.title}>
            <h2>{group.title}</h2>
            <table>
              <thead>
                <tr>
                  <th scope="col">{say.sheets.figure}</th>
                  <th scope="col">{say.sheets.asTyped}</th>
                  <th scope="col">{say.sheets.inSi}</th>
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
      <p class="soft">{say.sheets.theseFiguresWereCopied}</p>
    </Layout>
  )
}
