// What stands around every page, and in which order is it read?

import type { ComponentChildren, JSX, VNode } from 'preact'
import { renderToString } from 'preact-render-to-string'
import { LANGUAGES } from '../server/vocabulary.ts'
import { LANGUAGE_NAMES, languageNow, say } from '../server/words/say.ts'
import { ReaderZone } from './parts/when.tsx'

export interface NavItem {
  href: string
  label: string
  current?: boolean | undefined
}

export interface LayoutProps {
  /** The page, not the product: "Joint SM4-4". */
  title: string
  company?: string | undefined
  person?: string | undefined
  /** Whose page this is: what is kept of it on a phone is kept for them alone. */
  member?: string | undefined
  /** In words: "technician". */
  roleWords?: string | undefined
  nav?: readonly NavItem[] | undefined
  /** Where the search box asks; left out where nobody is signed in, or the page has a box of its own. */
  search?: string | null | undefined
  /** Places that are seldom gone to: at the foot of the page. */
  more?: readonly NavItem[] | undefined
  /** A `<Flash>`, shown before everything else in the page. */
  flash?: ComponentChildren
  children?: ComponentChildren
  /** How many entries wait on this phone, in words; the outbox fills the same place when there is no answer. */
  waiting?: string | undefined
  /** Where the sign-out form posts; left out when nobody is signed in. */
  signOut?: string | undefined
  /** `narrow` for one-column capture pages, `wide` (default) for desk pages. */
  width?: 'narrow' | 'wide' | undefined
  /** More deferred scripts, by address. */
  scripts?: readonly string[] | undefined
}

export function Layout(props: LayoutProps): JSX.Element {
  const nav = props.nav ?? []
  return (
    <html lang={languageNow()}>
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="color-scheme" content="light dark" />
        {/* htmx would otherwise write its own style element, which the content policy refuses */}
        <meta name="htmx-config" content='{"includeIndicatorCSS":false}' />
        <title>{say.page.jointkeep(props.title)}</title>
        <meta name="theme-color" content="#fffdf7" media="(prefers-color-scheme: light)" />
        <meta name="theme-color" content="#201d19" media="(prefers-color-scheme: dark)" />
        <link rel="stylesheet" href="/assets/jointkeep.css" />
        <link rel="manifest" href="/assets/jointkeep.webmanifest" />
        <link rel="icon" href="/assets/icon.svg" type="image/svg+xml" />
        <link rel="apple-touch-icon" href="/assets/icon-180.png" />
        <script src="/assets/htmx-shim.js" defer />
        <script src="/assets/htmx/htmx.min.js" defer />
        <script src="/assets/jointkeep.js" defer />
        {(props.scripts ?? []).map((src) => (
          <script key={src} src={src} defer />
        ))}
      </head>
      <body class={props.width === 'narrow' ? 'narrow' : 'wide'} hx-boost:inherited="true">
        <a class="skip" href="#page">
          {say.page.toThePage}
        </a>
        <header class="top">
          <div class="top-line">
            <a class="name" href="/">
              {say.page.jointkeep2}
            </a>
            {nav.length === 0 ? null : (
              <nav aria-label={say.page.main}>
                <ul>
                  {nav.map((item) => (
                    <li key={item.href}>
                      <a href={item.href} aria-current={item.current === true ? 'page' : undefined}>
                        {item.label}
                      </a>
                    </li>
                  ))}
                  {props.search ? (
                    <li class="find-link">
                      <a href={props.search}>
                        <svg viewBox="0 0 24 24" aria-hidden="true">
                          <circle cx="10" cy="10" r="6.5" />
                          <path d="M15 15 L21 21" />
                        </svg>
                        <span class="vh">{say.page.search}</span>
                      </a>
                    </li>
                  ) : null}
                </ul>
              </nav>
            )}
            {props.search ? <FindBox action={props.search} /> : null}
            {props.company === undefined ? null : <span class="company">{props.company}</span>}
          </div>
          <div
            id="waiting"
            class="waiting"
            role="status"
            data-member={props.member}
            data-words={JSON.stringify(say.scripts)}
            hidden={props.waiting === undefined}
          >
            {props.waiting}
          </div>
        </header>
        <main id="page" tabindex={-1}>
          {/* Shown by the phone's worker on a page that it kept */}
          <p id="kept-note" class="kept-note" hidden>
            {say.page.asOf(<time />)}
          </p>
          <div id="flash">{props.flash}</div>
          {props.children}
        </main>
        <footer class="signed-in">
          {props.person === undefined ? null : (
            <span>
              <a href="/me">{props.person}</a>
              {props.roleWords === undefined ? null : `, ${props.roleWords}`}
            </span>
          )}
          {props.company === undefined ? null : <span>{props.company}</span>}
          {(props.more ?? []).map((item) => (
            <a key={item.href} href={item.href}>
              {item.label}
            </a>
          ))}
          {props.signOut === undefined ? null : (
            <form method="post" action={props.signOut}>
              <button type="submit" class="quiet">
                {say.page.signOut}
              </button>
            </form>
          )}
          <Languages />
        </footer>
      </body>
    </html>
  )
}

/** The others, each in its own words, for who can't read this one. */
function Languages(): JSX.Element {
  return (
    <nav class="languages" aria-label={say.page.language}>
      {LANGUAGES.filter((language) => language !== languageNow()).map((language) => (
        <a
          key={language}
          href={`/languages/${language}`}
          lang={language}
          hreflang={language}
          hx-boost="false"
          rel="nofollow"
        >
          {LANGUAGE_NAMES[language]}
        </a>
      ))}
    </nav>
  )
}

/** Where there is room for it; on a phone the way about ends in a way to the page with the box. */
function FindBox({ action }: { action: string }): JSX.Element {
  return (
    <search class="find">
      <form method="get" action={action}>
        <input
          name="q"
          type="search"
          maxlength={200}
          placeholder={say.page.serialTagNameAddress}
          aria-label={say.page.searchSerialTagCustomer}
          autocomplete="off"
          spellcheck={false}
          enterkeyhint="search"
        />
      </form>
    </search>
  )
}

/** A whole document, ready to send. */
export function renderPage(page: VNode, zone: string | null = null): string {
  return `<!doctype html>${renderToString(<ReaderZone.Provider value={zone}>{page}</ReaderZone.Provider>)}`
}

/** A piece of a page, for htmx to put in place. */
export function renderFragment(fragment: VNode): string {
  return renderToString(fragment)
}
