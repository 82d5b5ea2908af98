// When did somebody come in, and how?

import type { JSX } from 'preact'
import type { SignInRow } from '../../server/store/queries/sign-ins.ts'
import { say } from '../../server/words/say.ts'
import { Empty } from '../parts/empty.tsx'
import { When } from '../parts/when.tsx'

/** "Firefox on Windows". */
export function browserWords(kept: string | null): string {
  const [browser = '', system = ''] = (kept ?? '').split('/')
  if (browser !== '' && system !== '') return say.signing.browserOn(browser, system)
  return browser || system || say.signing.anUnknownBrowser
}

export function SignIns({ items }: { items: readonly SignInRow[] }): JSX.Element {
  if (items.length === 0) return <Empty title={say.signing.noneYet}>{say.signing.noneYetWhy}</Empty>
  return (
    <>
      <table class="stack">
        <thead>
          <tr>
            <th scope="col">{say.signing.when}</th>
            <th scope="col">{say.signing.how}</th>
            <th scope="col">{say.signing.browser}</th>
          </tr>
        </thead>
        <tbody>
          {items.map((item) => (
            <tr key={item.id}>
              <th scope="row">
                <When at={item.at} />
              </th>
              <td data-label={say.signing.how}>
                {item.succeeded
                  ? say.signing.ways[item.way]
                  : say.signing.failedWay(say.signing.ways[item.way])}
              </td>
              <td data-label={say.signing.browser}>{browserWords(item.browser)}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p class="soft">{say.signing.keptFor90Days}</p>
    </>
  )
}
