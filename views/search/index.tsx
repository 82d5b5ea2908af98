// What was found for what somebody typed, the likeliest first?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { Matched, SearchHit } from '../../server/store/queries/search.ts'
import { say } from '../../server/words/say.ts'
import { Layout } from '../layout.tsx'
import { Empty } from '../parts/empty.tsx'
import { FindBox } from './find-box.tsx'

type To = 'history' | 'joint' | 'system' | 'site' | 'callback'

export interface FoundLine {
  kind: SearchHit['kind']
  href: string
  title: string
  where: string | null
  matched: Matched
  /** Retired, taken out or out of use. */
  gone: boolean
  links: readonly { href: string; to: To; name?: string | undefined }[]
}

export interface SearchPageProps {
  shell: Shell
  typed: string
  found: readonly FoundLine[]
  more: boolean
}

const kindWords = (): Record<SearchHit['kind'], string> => ({
  joint: say.search.joint,
  unit: say.search.unit,
  system: say.search.system,
  site: say.search.site,
  job: say.search.job,
  instrument: say.search.instrument,
})

const byWords = (): Record<Matched['by'], string> => ({
  serial: say.search.serial,
  tag: say.search.tag,
  reference: say.search.reference,
  customer: say.search.customer,
  address: say.search.address,
})

const goneWords = (): Record<SearchHit['kind'], string> => ({
  joint: say.search.retired,
  unit: say.search.takenOut,
  system: '',
  site: '',
  job: '',
  instrument: say.search.outOfUse,
})

const linkWords = (): Record<To, string> => ({
  history: say.search.history,
  joint: say.search.itsPage,
  system: say.search.system,
  site: say.search.site,
  callback: say.search.takeInACallback,
})

const theHowWords = (): Record<Matched['how'], string> => ({
  exact: '',
  'look-alike': say.search.aSignThatLooks,
  words: '',
  beginning: say.search.beginsLikeThis,
  end: say.search.endsLikeThis,
  near: say.search.nearly,
})

const howWords = ({ how, slips }: Matched) =>
  how !== 'near' ? theHowWords()[how] : slips <= 1 ? say.search.oneSignDiffers : say.search.twoSignsDiffer

/** "tag K1-3, one sign differs", for whoever has to choose among systems. A name or an address stands there anyway. */
export function matchedWords(matched: Matched): string {
  const isPlace = matched.by === 'customer' || matched.by === 'address'
  const what = isPlace ? '' : `${byWords()[matched.by]} ${matched.value}`
  return [what, howWords(matched)].filter((part) => part !== '').join(', ')
}

export function SearchPage({ shell, typed, found, more }: SearchPageProps): JSX.Element {
  const asked = typed.trim() !== ''
  const onlyNear = found.length > 0 && found.every(({ matched }) => matched.how === 'near')
  return (
    <Layout {...shell} search={null} title={say.search.search} width="narrow">
      <h1>{say.search.search}</h1>
      <FindBox
        action="/search"
        typed={typed}
        find={say.search.search}
        autofocus={!asked || found.length === 0}
      />
      {!asked ? null : found.length === 0 ? (
        <Empty title={say.search.nothingHereWith(typed.trim())}>
          {say.search.readItOnceMore(<a href="/sites">{say.search.amongTheSites}</a>)}
        </Empty>
      ) : (
        <section aria-labelledby="found">
          <h2 id="found">{onlyNear ? say.search.nothingIsExactlyThis : say.search.found}</h2>
          <ul class="rows found">
            {found.map((line) => (
              <Found key={`${line.kind} ${line.href}`} line={line} />
            ))}
          </ul>
          {more ? <p class="soft">{say.search.thereIsMoreLike}</p> : null}
        </section>
      )}
    </Layout>
  )
}

function Found({ line }: { line: FoundLine }): JSX.Element {
  const { matched } = line
  const how = howWords(matched)
  const isMark = matched.by === 'serial' || matched.by === 'tag' || matched.by === 'reference'
  return (
    <li>
      <a class="row" href={line.href}>
        <span class="found-kind">{kindWords()[line.kind]}</span>
        {isMark ? (
          <span>
            {matched.by === 'tag' ? null : `${byWords()[matched.by]} `}
            <b class="tag">{matched.value}</b>
          </span>
        ) : null}
        <span class="found-title">{line.title}</span>
        {line.where === null ? null : <span class="soft">{line.where}</span>}
        {line.gone ? <span class="soft">{goneWords()[line.kind]}</span> : null}
        {how === '' ? null : (
          <span class="found-how">{isMark ? how : `${byWords()[matched.by]} ${how}`}</span>
        )}
      </a>
      {line.links.length === 0 ? null : (
        <span class="found-links">
          {line.links.map((link) => (
            <a key={link.href} href={link.href}>
              {link.name ?? linkWords()[link.to]}
            </a>
          ))}
        </span>
      )}
    </li>
  )
}
