// Which models does the company have the manual's figures of?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Empty } from '../parts/empty.tsx'
import { Pager } from '../parts/pager.tsx'

export interface SheetListProps {
  shell: Shell
  sheets: readonly { id: string; name: string; kind: string; refrigerant: string; source: string }[]
  isFirstPage: boolean
  nextCursor: string | null
  mayAdd: boolean
}

export function SheetList(props: SheetListProps): JSX.Element {
  const add = { href: '/equipment-sheets/new', label: say.sheets.enterASheet }
  return (
    <Layout {...props.shell} title={say.sheets.equipmentSheets}>
      <h1>{say.sheets.equipmentSheets}</h1>
      <p class="lead">{say.sheets.theFiguresOfEach}</p>
      {props.sheets.length === 0 ? (
        <Empty title={say.sheets.noSheetsYet} action={props.mayAdd ? add : undefined}>
          {say.sheets.withoutASheetSystems}
        </Empty>
      ) : (
        <>
          {props.mayAdd ? (
            <p class="actions">
              <a class="button" href={add.href}>
                {add.label}
              </a>
            </p>
          ) : null}
          <table class="stack">
            <thead>
              <tr>
                <th scope="col">{say.sheets.model}</th>
                <th scope="col">{say.sheets.kind}</th>
                <th scope="col">{say.sheets.refrigerant}</th>
                <th scope="col">{say.sheets.readFrom}</th>
              </tr>
            </thead>
            <tbody>
              {props.sheets.map((sheet) => (
                <tr key={sheet.id}>
                  <td>
                    <a href={`/equipment-sheets/${sheet.id}`}>{sheet.name}</a>
                  </td>
                  <td>{sheet.kind}</td>
                  <td>{sheet.refrigerant}</td>
                  <td data-label={say.sheets.readFrom}>{sheet.source}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </>
      )}
      <Pager
        of={say.sheets.sheets}
        firstHref={props.isFirstPage ? undefined : '/equipment-sheets'}
        nextHref={
          props.nextCursor === null
            ? undefined
            : `/equipment-sheets?cursor=${encodeURIComponent(props.nextCursor)}`
        }
      />
    </Layout>
  )
}
