// What can be taken out, and what can be brought in?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'

export interface MovingPageProps {
  shell: Shell
  /** Names of the tables that are written out. */
  tables: readonly TableName[]
  /** May they take the whole company out? */
  mayMoveCompany: boolean
}

export type TableName =
  | 'sites'
  | 'equipment-sheets'
  | 'jobs'
  | 'joints'
  | 'torques'
  | 'tests'
  | 'nonconformities'
  | 'instruments'
  | 'callbacks'

/** A decimal comma, and what parts the columns then: what spreadsheets of half the world read. */
const WITH_COMMA = '?delimiter=semicolon&decimal=comma'

export function MovingPage(props: MovingPageProps): JSX.Element {
  return (
    <Layout {...props.shell} title={say.moving.dataInAndOut}>
      <h1>{say.moving.dataInAndOut}</h1>
      <div class="two">
        <section class="sheet" aria-labelledby="out">
          <h2 id="out">{say.moving.tablesOut}</h2>
          <p class="why">{say.moving.tablesOutWhy}</p>
          <ul class="rows">
            {props.tables.map((table) => (
              <li key={table}>
                <b>{say.moving.tables[table].title}</b>
                <p class="why">{say.moving.tables[table].holds}</p>
                <p class="work-links">
                  <a href={`/exports/${table}.csv`} hx-boost="false" download>
                    {say.moving.csv} <span class="vh">{say.moving.tables[table].title}</span>
                  </a>
                  <a href={`/exports/${table}.csv${WITH_COMMA}`} hx-boost="false" download>
                    {say.moving.csvWithComma} <span class="vh">{say.moving.tables[table].title}</span>
                  </a>
                </p>
              </li>
            ))}
          </ul>
        </section>
        <section class="sheet" aria-labelledby="in">
          <h2 id="in">{say.moving.tablesIn}</h2>
          <p class="why">{say.moving.tablesInWhy}</p>
          <ul class="rows">
            {(['sites', 'instruments', 'equipment-sheets'] as const).map((kind) => (
              <li key={kind}>
                <a class="row" href={`/imports/${kind}`}>
                  <b>{say.moving.imports[kind].title}</b>
                  <span>{say.moving.imports[kind].adds}</span>
                </a>
              </li>
            ))}
          </ul>
        </section>
      </div>
      {props.mayMoveCompany ? (
        <section class="sheet" aria-labelledby="whole">
          <h2 id="whole">{say.moving.wholeCompany}</h2>
          <p class="why">{say.moving.wholeCompanyWhy}</p>
          <p>
            <a class="button" href="/exports/company">
              {say.moving.writeItOut}
            </a>
          </p>
        </section>
      ) : null}
    </Layout>
  )
}
