// Which models does the company have the manual's figures of?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
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
  const add = { href: '/equipment-sheets/new', label: 'Enter a sheet' }
  return (
    <Layout {...props.shell} title="Equipment sheets">
      <h1>Equipment sheets</h1>
      <p class="lead">
        The figures of each model as its manual states them. They outrank every built-in figure.
      </p>
      {props.sheets.length === 0 ? (
        <Empty title="No sheets yet" action={props.mayAdd ? add : undefined}>
          Without a sheet, systems are judged by built-in figures, and every page and certificate says so.
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
                <th scope="col">Model</th>
                <th scope="col">Kind</th>
                <th scope="col">Refrigerant</th>
                <th scope="col">Read from</th>
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
                  <td data-label="Read from">{sheet.source}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </>
      )}
      <Pager
        of="sheets"
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
