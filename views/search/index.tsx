// What was found for what somebody typed, the likeliest first?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import type { Matched, SearchHit } from '../../server/store/queries/search.ts'
import { Layout } from '../layout.tsx'
import { Button } from '../parts/button.tsx'
import { Empty } from '../parts/empty.tsx'

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

const KIND_WORDS: Record<SearchHit['kind'], string> = {
  joint: 'Joint',
  unit: 'Unit',
  system: 'System',
  site: 'Site',
  job: 'Job',
  instrument: 'Instrument',
}

const BY_WORDS: Record<Matched['by'], string> = {
  serial: 'serial',
  tag: 'tag',
  reference: 'reference',
  customer: 'customer',
  address: 'address',
}

const GONE_WORDS: Record<SearchHit['kind'], string> = {
  joint: 'retired',
  unit: 'taken out',
  system: '',
  site: '',
  job: '',
  instrument: 'out of use',
}

const LINK_WORDS: Record<To, string> = {
  history: 'History',
  joint: 'Its page',
  system: 'System',
  site: 'Site',
  callback: 'Take in a callback',
}

const HOW_WORDS: Record<Matched['how'], string> = {
  exact: '',
  'look-alike': 'a sign that looks alike differs',
  words: '',
  beginning: 'begins like this',
  end: 'ends like this',
  near: 'nearly',
}

const howWords = ({ how, slips }: Matched) =>
  how !== 'near' ? HOW_WORDS[how] : slips <= 1 ? 'one sign differs' : 'two signs differ'

export function SearchPage({ shell, typed, found, more }: SearchPageProps): JSX.Element {
  const asked = typed.trim() !== ''
  const onlyNear = found.length > 0 && found.every(({ matched }) => matched.how === 'near')
  return (
    <Layout {...shell} search={null} title="Search" width="narrow">
      <h1>Search</h1>
      <form method="get" action="/search" class="find-large">
        <label for="q">Serial, tag, customer, address or job reference</label>
        <p class="hint" id="q-hint">
          Part of it is enough; capitals, blanks and dashes don’t matter.
        </p>
        <div class="find-line">
          <input
            id="q"
            name="q"
            type="search"
            value={typed}
            required
            maxlength={200}
            autocomplete="off"
            autocapitalize="off"
            spellcheck={false}
            enterkeyhint="search"
            autofocus={!asked || found.length === 0}
            aria-describedby="q-hint"
          />
          <Button>Search</Button>
        </div>
      </form>
      {!asked ? null : found.length === 0 ? (
        <Empty title={`Nothing here with “${typed.trim()}”`}>
          Read it once more, sign by sign, or try its last four signs. A unit that was taken out is found by
          its serial too. Or look <a href="/sites">among the sites</a>.
        </Empty>
      ) : (
        <section aria-labelledby="found">
          <h2 id="found">{onlyNear ? 'Nothing is exactly this. Near it:' : 'Found'}</h2>
          <ul class="rows found">
            {found.map((line) => (
              <Found key={`${line.kind} ${line.href}`} line={line} />
            ))}
          </ul>
          {more ? <p class="soft">There is more like this. Type more of it to see it.</p> : null}
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
        <span class="found-kind">{KIND_WORDS[line.kind]}</span>
        {isMark ? (
          <span>
            {matched.by === 'tag' ? null : `${BY_WORDS[matched.by]} `}
            <b class="tag">{matched.value}</b>
          </span>
        ) : null}
        <span class="found-title">{line.title}</span>
        {line.where === null ? null : <span class="soft">{line.where}</span>}
        {line.gone ? <span class="soft">{GONE_WORDS[line.kind]}</span> : null}
        {how === '' ? null : <span class="found-how">{isMark ? how : `${BY_WORDS[matched.by]} ${how}`}</span>}
      </a>
      {line.links.length === 0 ? null : (
        <span class="found-links">
          {line.links.map((link) => (
            <a key={link.href} href={link.href}>
              {link.name ?? LINK_WORDS[link.to]}
            </a>
          ))}
        </span>
      )}
    </li>
  )
}
