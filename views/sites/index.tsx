// Which sites does the company look after?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'
import { TextField } from '../parts/field.tsx'
import { Pager } from '../parts/pager.tsx'

export interface SiteListProps {
  shell: Shell
  /** What was searched for; empty for all. */
  q: string
  sites: readonly { id: string; customerName: string; address: string; systems: readonly string[] }[]
  isFirstPage: boolean
  nextCursor: string | null
  mayAdd: boolean
}

export function SiteList(props: SiteListProps): JSX.Element {
  const query = props.q === '' ? '' : `q=${encodeURIComponent(props.q)}&`
  return (
    <Layout {...props.shell} title={say.sites.sites}>
      <h1>{say.sites.sites}</h1>
      <form method="get" action="/sites" class="look-through">
        <TextField
          name="q"
          label={say.sites.customerStreetOrTown}
          type="search"
          value={props.q}
          maxlength={200}
          autocomplete="off"
        />
        <div class="actions">
          <Button kind="other">{say.sites.find}</Button>
          {props.mayAdd ? (
            <a class="button" href="/sites/new">
              {say.sites.addASite}
            </a>
          ) : null}
        </div>
      </form>
      {props.sites.length === 0 ? (
        <Nothing q={props.q} mayAdd={props.mayAdd} />
      ) : (
        <table class="stack">
          <thead>
            <tr>
              <th scope="col">{say.sites.customer}</th>
              <th scope="col">{say.sites.address}</th>
              <th scope="col">{say.sites.systems}</th>
            </tr>
          </thead>
          <tbody>
            {props.sites.map((site) => (
              <tr key={site.id}>
                <td>
                  <a href={`/sites/${site.id}`}>{site.customerName}</a>
                </td>
                <td>{site.address}</td>
                <td data-label={say.sites.systems}>
                  {site.systems.length === 0 ? (
                    <span class="soft">{say.sites.noneYet}</span>
                  ) : (
                    site.systems.join(', ')
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <Pager
        of={say.sites.sites2}
        firstHref={props.isFirstPage ? undefined : `/sites?${query}`}
        nextHref={
          props.nextCursor === null
            ? undefined
            : `/sites?${query}cursor=${encodeURIComponent(props.nextCursor)}`
        }
      />
    </Layout>
  )
}

function Nothing({ q, mayAdd }: { q: string; mayAdd: boolean }): JSX.Element {
  if (q !== '')
    return (
      <Empty title={say.sites.noSiteWith(q)} action={{ href: '/sites', label: say.sites.showAllSites }}>
        {say.sites.tryAShorterPart}
      </Empty>
    )
  return (
    <Empty
      title={say.sites.noSitesYet}
      action={mayAdd ? { href: '/sites/new', label: say.sites.addASite } : undefined}
    >
      {say.sites.aSiteIsA}
    </Empty>
  )
}
