// Is this certificate genuine, without a server? The one page that is a file of its own: script, style, words and keys are inside.

import type { JSX } from 'preact'
import { renderToString } from 'preact-render-to-string'

export interface OfflineCheckProps {
  language: string
  words: {
    title: string
    lead: string
    needsScript: string
    choose: string
    chooseHint: string
    pasteTitle: string
    paste: string
    pasteDo: string
    keysTitle: string
    keysLead: string
    addKeys: string
    addKeysHint: string
  }
  madeBy: string
  /** What the script reads: JSON, as text. */
  data: { words: string; keys: string }
  style: string
  scripts: readonly string[]
  /** The page's own policy; a server's header is not there when it is opened as a file. */
  policy: string
}

export function offlineCheckPage(props: OfflineCheckProps): string {
  return `<!doctype html>\n${renderToString(<OfflineCheck {...props} />)}`
}

/** In a script element nothing is escaped; an end of it inside a text must not end it. */
const inScript = (json: string) => ({ __html: json.replaceAll('<', '\\u003c') })

function OfflineCheck({ words, ...props }: OfflineCheckProps): JSX.Element {
  return (
    <html lang={props.language}>
      <head>
        <meta charset="utf-8" />
        <meta http-equiv="content-security-policy" content={props.policy} />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="color-scheme" content="light dark" />
        <meta name="referrer" content="no-referrer" />
        <title>{`${words.title} · Jointkeep`}</title>
        <link rel="icon" href="data:," />
        <style dangerouslySetInnerHTML={{ __html: props.style }} />
      </head>
      <body class="wide">
        <header class="top">
          <div class="top-line">
            <span class="name">Jointkeep</span>
          </div>
        </header>
        <main id="page">
          <h1>{words.title}</h1>
          <p class="lead">{words.lead}</p>
          <p id="needs-script" class="flash flash-needs-you">
            {words.needsScript}
          </p>
          <div id="check" hidden>
            <div class="sheet">
              <div class="field">
                <label for="file">{words.choose}</label>
                <p id="file-hint" class="soft">
                  {words.chooseHint}
                </p>
                <input
                  id="file"
                  type="file"
                  accept=".pdf,.json,application/pdf,application/json"
                  aria-describedby="file-hint"
                />
              </div>
              <details>
                <summary>
                  <span>{words.pasteTitle}</span>
                </summary>
                <form id="pasted">
                  <div class="field">
                    <label for="pasted-copy">{words.paste}</label>
                    <textarea id="pasted-copy" rows={6} required autocomplete="off" spellcheck={false} />
                  </div>
                  <button type="submit" class="button do">
                    {words.pasteDo}
                  </button>
                </form>
              </details>
            </div>
            <section id="answer" aria-live="polite" />
            <section aria-labelledby="keys-title">
              <h2 id="keys-title">{words.keysTitle}</h2>
              <p>{words.keysLead}</p>
              <ul id="known-keys" class="digests" />
              <div class="field">
                <label for="keys-file">{words.addKeys}</label>
                <p id="keys-hint" class="soft">
                  {words.addKeysHint}
                </p>
                <input
                  id="keys-file"
                  type="file"
                  accept=".json,application/json"
                  aria-describedby="keys-hint"
                />
                <p id="keys-answer" role="status" />
              </div>
            </section>
          </div>
          <p class="soft">{props.madeBy}</p>
        </main>
        <script
          type="application/json"
          id="check-words"
          dangerouslySetInnerHTML={inScript(props.data.words)}
        />
        <script type="application/json" id="check-keys" dangerouslySetInnerHTML={inScript(props.data.keys)} />
        {props.scripts.map((script) => (
          <script key={script} dangerouslySetInnerHTML={{ __html: script }} />
        ))}
      </body>
    </html>
  )
}
