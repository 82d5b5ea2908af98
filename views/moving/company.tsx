// How far is the archive of the company, and where is it?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Flash } from '../parts/flash.tsx'
import { When } from '../parts/when.tsx'

export interface CompanyArchive {
  state: 'writing' | 'whole' | 'failed'
  done: number
  total: number
  seenAt: number
  bytes: number | null
  missing: number
}

export interface CompanyArchivePageProps {
  shell: Shell
  freshId: string
  archive: CompanyArchive | null
}

const AT = '/exports/company'

export function CompanyArchivePage(props: CompanyArchivePageProps): JSX.Element {
  const { archive } = props
  return (
    <Layout {...props.shell} title={say.moving.wholeCompany} width="narrow">
      <h1>{say.moving.wholeCompany}</h1>
      <p class="lead">
        {say.moving.wholeCompanyWhy} <a href="/moving-data">{say.moving.dataInAndOut}</a>
      </p>
      <div id="archive">
        <Archive archive={archive} />
        <section class="sheet">
          <p class="why">{say.moving.archiveHoldsAll}</p>
          {archive?.state === 'writing' ? null : (
            <form method="post" action={AT}>
              <input type="hidden" name="id" value={props.freshId} />
              <Button kind={archive?.state === 'whole' ? 'other' : 'do'}>
                {archive?.state === 'whole' ? say.moving.writeItAnew : say.moving.writeItOut}
              </Button>
            </form>
          )}
          <p class="hint">{say.moving.takingUpIsElsewhere}</p>
        </section>
      </div>
    </Layout>
  )
}

function Archive({ archive }: { archive: CompanyArchive | null }): JSX.Element | null {
  if (archive === null) return null
  if (archive.state === 'failed') return <Flash kind="refused">{say.moving.archiveFailed}</Flash>
  if (archive.state === 'whole')
    return (
      <section class="sheet" aria-labelledby="whole">
        <h2 id="whole" data-goes-on>
          {say.moving.archiveIsWhole}
        </h2>
        <p>
          <a class="button do" href={`${AT}.tar`} hx-boost="false" download>
            {say.moving.fetchIt(((archive.bytes ?? 0) / 1e6).toFixed(1))}
          </a>
        </p>
        <p class="soft">
          {say.moving.writtenAt} <When at={archive.seenAt} />. {say.moving.keptForADay}
        </p>
        {archive.missing === 0 ? null : <p class="message">{say.moving.filesMissing(archive.missing)}</p>}
      </section>
    )
  const share = archive.total === 0 ? 0 : Math.floor((100 * archive.done) / archive.total)
  return (
    <section
      class="sheet"
      hx-get={AT}
      hx-trigger="every 1s"
      hx-select="#archive"
      hx-target="#archive"
      hx-swap="outerHTML"
      aria-labelledby="writing"
    >
      <h2 id="writing" data-goes-on>
        {say.moving.archiveIsWritten}
      </h2>
      <p role="status">{say.moving.soFar(share)}</p>
      <progress class="moving-progress" max={100} value={share} aria-labelledby="writing" />
      <p class="soft">{say.moving.mayBeLeft}</p>
      <p>
        <a href={AT}>{say.moving.lookAgain}</a>
      </p>
    </section>
  )
}
