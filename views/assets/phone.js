// What on this page has to do with working without a signal? The line that says what waits, and what the worker is told.

const container = navigator.serviceWorker
const { say } = window.jointkeep
const line = () => document.getElementById('waiting')
const memberHere = () => line()?.dataset.member

async function worker() {
  const registration = await container.ready
  return registration.active
}
const tell = async (ask, more = {}) => (await worker())?.postMessage({ ask, ...more })

/** Asks the worker and waits for its answer. */
export async function ask(what, more = {}) {
  const to = await worker()
  return new Promise((done) => {
    const channel = new MessageChannel()
    channel.port1.onmessage = ({ data }) => done(data)
    to?.postMessage({ ask: what, ...more }, [channel.port2])
  })
}
export const again = (number) => tell('again', { number })
export const drop = (number) => tell('drop', { number })

/** An entry in words; where the page could not say them, by its kind and the figures in it. */
export function inWords({ said, path, fields }) {
  if (said) return said
  const given = Object.fromEntries(fields)
  const kind = path.split('/').at(-1).replaceAll('-', ' ').replace(/s$/, '')
  const figures = fields
    .filter(([name, value]) => name.endsWith('.value') && value !== '')
    .map(([name, value]) => `${value} ${given[name.replace(/value$/, 'unit')] ?? ''}`.trim())
  const about = [given.direction, given.shows].filter(Boolean).map((word) => word.replaceAll('-', ' '))
  const name = kind.charAt(0).toUpperCase() + kind.slice(1)
  return [name, [...about, ...figures].join(', ')].filter(Boolean).join('. ')
}

// ---------------------------------------------------------------- the line

let guarded = false

function draw({ entries: mine, others, stopped }) {
  const place = line()
  if (!place) return
  const refused = mine.filter((entry) => entry.refusal).length
  const waiting = mine.length - refused
  const said = []
  if (waiting > 0) {
    const why = {
      'signed-out': 'signInToSend',
      busy: 'serverIsBusy',
      'no-signal': 'sentWithSignal',
    }[stopped]
    said.push(say(waiting === 1 ? 'oneWaits' : 'manyWait', { count: waiting }), say(why ?? 'sending'))
  }
  if (refused > 0) said.push(say(refused === 1 ? 'oneRefused' : 'manyRefused', { count: refused }))
  if (others > 0) said.push(say(others === 1 ? 'oneOfOthers' : 'manyOfOthers', { count: others }))
  // A phone short of room may clear what a site keeps, unless it was asked not to; some ask the person, so only now.
  if (mine.length > 0 && !guarded) {
    guarded = true
    navigator.storage?.persist?.().catch(() => {})
  }
  place.hidden = said.length === 0
  place.replaceChildren()
  if (said.length === 0) return
  place.append(`${said.join(' ')} `)
  const link = (href, words) => {
    const one = document.createElement('a')
    one.href = href
    one.textContent = words
    place.append(one, ' ')
  }
  if (waiting > 0 && stopped === 'signed-out' && !location.pathname.startsWith('/sign-in'))
    link(`/sign-in?next=${encodeURIComponent(location.pathname + location.search)}`, say('signIn'))
  if (mine.length > 0 && location.pathname !== '/waiting') link('/waiting', say('seeThem'))
}

// ---------------------------------------------------------------- the page

let known = null
let kept = null
let touched = false
/** A form of this page is on its way, and another page is about to take its place. */
let leaving = false
document.addEventListener('htmx:before:request', ({ detail: { ctx } }) => {
  leaving = ctx.request.method === 'POST'
})
document.addEventListener('htmx:finally:request', () => {
  leaving = false
})
document.addEventListener('input', () => {
  touched = true
})

/** What concerns this very page is drawn on it, by a script that is fetched only then. */
async function show(told) {
  if (known && told.at < known.at) return
  known = told
  draw(told)
  if (leaving) return
  const page = document.getElementById('page')
  const isKept = document.querySelector('[data-kept-at]') !== null
  const here = told.entries.length > 0 || isKept || page?.querySelector('.kept-here') !== null
  if (location.pathname === '/waiting') (await import('/assets/waiting.js')).draw(told)
  else if (here) {
    kept ??= import('/assets/kept-here.js')
    const { draw: drawHere } = await kept
    if (told !== known || leaving) return
    const wasSent = drawHere(told, { touched })
    // What was drawn as waiting is on the server now: the page as it stands there takes its place.
    if (wasSent && !touched && navigator.onLine) location.reload()
  }
}

container.addEventListener('message', ({ data }) => {
  if (data?.entries) void show(data)
})

document.addEventListener('htmx:after:swap', () => {
  touched = false
  leaving = false
  // Asked anew: what was told before the answer came may not know of the entry that was just kept.
  void ask('told').then(show)
  void tell('send')
})

/** Who typed it, on which page, and in words what it says, go with it. */
document.addEventListener('htmx:config:request', ({ detail: { ctx } }) => {
  const { request } = ctx
  if (request.method !== 'POST' || !container.controller) return
  const member = memberHere()
  if (member) request.headers['as-member'] = member
  const on = document.querySelector('[data-page]')?.dataset.page ?? location.pathname + location.search
  request.headers['entered-on'] = on
  request.headers['entered-as'] = encodeURIComponent(wordsOf(ctx.sourceElement, request.submitter))
})

const textOf = (element) => element?.textContent.trim().replace(/\s+/g, ' ') ?? ''

/** "Joint NR1-2, Torque: What the wrench showed 16.2 N·m, Wrench: Wrench 7" */
function wordsOf(form, submitter) {
  if (!form?.elements) return ''
  const heading = form.closest('.step, section, details')?.querySelector('h2, h3, summary')
  const isAll = submitter?.name === 'allAsListed' || submitter?.value?.endsWith(' all')
  const said = []
  for (const field of form.elements) {
    const label = textOf(field.labels?.[0])
    if (!label || field.type === 'hidden' || field.value === '' || field.name.endsWith('.unit')) continue
    if (field.closest('.points')) {
      // Of a list of points only what was not so is worth a word.
      if (isAll || (field.type === 'radio' && (!field.checked || field.value === 'yes'))) continue
      const point = field.closest('.choices')?.getAttribute('aria-label')
      said.push(point ? `${point}: ${label}` : field.value)
      continue
    }
    if (['radio', 'checkbox'].includes(field.type)) {
      const group = textOf(field.closest('fieldset')?.querySelector('legend'))
      if (field.checked && field.type === 'radio' && group) said.push(`${group}: ${label}`)
      else if (field.checked) said.push(label)
    } else if (field.tagName === 'SELECT') said.push(`${label}: ${textOf(field.selectedOptions[0])}`)
    else {
      const unit = form.elements.namedItem(field.name.replace(/value$/, 'unit'))
      const unitWords = field.name.endsWith('.value')
        ? ` ${textOf(unit?.selectedOptions?.[0]) || (unit?.value ?? '')}`
        : ''
      said.push(`${label}: ${field.value}${unitWords}`)
    }
  }
  const button = textOf(submitter)
  if (button && !/^(Record|Start the|End)/.test(button)) said.unshift(button)
  const lead = [textOf(document.querySelector('h1')), textOf(heading)].filter(Boolean).join(', ')
  return `${lead || button}${said.length > 0 ? `. ${said.join(', ')}` : ''}`.slice(0, 600)
}

/** A form whose entry is kept may be used once more, for another entry. */
document.addEventListener('jointkeep:kept', async ({ target }) => {
  kept ??= import('/assets/kept-here.js')
  const { freshen } = await kept
  freshen(target.parentElement)
  for (const file of target.querySelectorAll('input[type=file]')) file.value = ''
})

// ---------------------------------------------------------------- when to send

async function start() {
  await container.register('/assets/worker.js', { scope: '/', updateViaCache: 'none' })
  void show(await ask('told'))
  await tell('send')
  if (memberHere()) await tell('ahead')
}
window.addEventListener('online', () => void tell('send'))
document.addEventListener('visibilitychange', () => {
  if (document.visibilityState === 'visible') void tell('send')
})
// A network that was there all the time, and a server that was not, say nothing when they are back.
setInterval(() => {
  if (known?.entries.some((entry) => !entry.refusal)) void tell('send')
}, 15_000)

void start().catch(() => {})
