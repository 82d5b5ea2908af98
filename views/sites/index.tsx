// Which sites does the company look after?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
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
    <Layout {...props.shell} title="Sites">
      <h1>Sites</h1>
      <form method="get" action="/sites" class="look-through">
        <TextField
          name="q"
          label="Customer, street or town"
          type="search"
          value={props.q}
          maxlength={200}
          autocomplete="off"
        />
        <div class="actions">
          <Button kind="other">Find</Button>
          {props.mayAdd ? (
            <a class="button" href="/sites/new">
              Add a site
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
              <th scope="col">Customer</th>
              <th scope="col">Address</th>
              <th scope="col">Systems</th>
            </tr>
          </thead>
          <tbody>
            {props.sites.map((site) => (
              <tr key={site.id}>
                <td>
                  <a href={`/sites/${site.id}`}>{site.customerName}</a>
                </td>
                <td>{site.address}</td>
                <td data-label="Systems">
                  {site.systems.length === 0 ? <span class="soft">none yet</span> : site.systems.join(', ')}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      <Pager
        of="sites"
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
      <Empty title={`No site with “${q}”`} action={{ href: '/sites', label: 'Show all sites' }}>
        Try a shorter part of the name or the street.
      </Empty>
    )
  return (
    <Empty title="No sites yet" action={mayAdd ? { href: '/sites/new', label: 'Add a site' } : undefined}>
      A site is a customer at an address. Systems stand at it for their life.
    </Empty>
  )
}
