// What of this page is kept on the phone and not sent yet, and how does the work go on from there without a signal?

import { ask, inWords } from '/assets/phone.js'

const { say, locale } = window.jointkeep

const fieldOf = (entry, name) => entry.fields.find(([key]) => key === name)?.[1] ?? ''
const clock = (at) => new Date(at).toLocaleTimeString(locale, { hour: '2-digit', minute: '2-digit' })
const make = (tag, className, text) => {
  const element = document.createElement(tag)
  if (className) element.className = className
  if (text !== undefined) element.textContent = text
  return element
}

/** UUIDv7 (RFC 9562): the time first, the rest by chance. */
function freshId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16))
  let time = Date.now()
  for (let at = 5; at >= 0; at -= 1) {
    bytes[at] = time % 256
    time = Math.floor(time / 256)
  }
  bytes[6] = (bytes[6] & 0x0f) | 0x70
  bytes[8] = (bytes[8] & 0x3f) | 0x80
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('')
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5')
}

/** A page that is shown a second time has names for new entries that the first time used up. */
export function freshen(root) {
  for (const field of root.querySelectorAll('form[method=post] input[type=hidden]'))
    if (field.name === 'id' || field.name === '_key') field.value = freshId()
}

function wakeUp(root) {
  window.htmx?.process(root)
  document.dispatchEvent(new Event('jointkeep:drawn'))
}

const before = new WeakMap()

/** Draws what waits onto the page; true when something drawn before is gone, which is to say sent or dropped. */
export function draw({ entries }, { touched }) {
  const page = document.getElementById('page')
  if (!page) return false
  const last = before.get(page)
  const here = entriesHere(entries, page)
  const key = here.map((entry) => `${entry.number}${entry.refusal ? '!' : ''}${entry.held ? '~' : ''}`).join()
  if (last?.key === key) return false
  // Whoever is typing is left alone; the line on top says what there is to say.
  if (last && touched) return false
  const isGone = (last?.numbers ?? []).some((number) => !here.some((entry) => entry.number === number))
  before.set(page, { key, numbers: here.map((entry) => entry.number) })
  // What is not there any more is on the server: its own page says the rest.
  if (isGone) return true
  for (const old of page.querySelectorAll('.kept-here')) old.remove()
  const rest = drawJoint(page, entries, here) ?? drawStarted(page, here) ?? here
  for (const entry of rest) placeNote(page, entry)
  mend(page, entries)
  wakeUp(page)
  return false
}

/** Those that were entered here, and those that were entered elsewhere for this as well. */
function entriesHere(entries, page) {
  const at = page.querySelector('[data-page]')?.dataset.page ?? location.pathname + location.search
  const path = at.split('?')[0]
  const joint = page.querySelector('#next[data-joint]')
  const mine = joint ? stateOf(jointAt(joint), entries).kept : []
  const testId = /^\/(?:pressure-tests|evacuations)\/(.+)$/.exec(path)?.[1]
  return entries.filter(
    (entry) =>
      entry.page.split('?')[0] === path || mine.includes(entry) || (testId && entry.path.includes(testId)),
  )
}

/** "Kept on this phone: 4.15 MPa, 20 °C 14:20" */
function note(entry) {
  const one = make('p', `kept-here kept-line${entry.refusal ? ' kept-refused' : ''}`)
  one.append(make('b', '', `${say(entry.refusal ? 'refused' : 'keptOnThisPhone')}: `), wordsOf(entry))
  one.append(' ', make('span', 'soft', clock(entry.deviceAt)), ...reasonOf(entry))
  if (entry.photos > 0) void thumbnail(entry, one)
  return one
}

/** The same as one line among the steps of a joint. */
function stepLine(entry, number, title) {
  const item = make('li', `kept-here step step-kept${entry.refusal ? ' kept-refused' : ''}`)
  const words = make('span', 'step-words', [title, wordsOf(entry)].filter(Boolean).join(': '))
  words.append(...reasonOf(entry))
  const line = make('span', 'step-line')
  const figure = make('span', 'step-number', number)
  figure.setAttribute('aria-hidden', 'true')
  line.append(figure, words)
  line.append(
    make('span', 'who', `${say(entry.refusal ? 'refusedInLine' : 'keptInLine')} · ${clock(entry.deviceAt)}`),
  )
  item.append(line)
  return item
}

/** What was said, without the name of the page. */
function wordsOf(entry) {
  const all = inWords(entry)
  const words = all.split('. ').slice(1).join('. ') || (entry.said ? '' : all)
  if (entry.photos > 0) return words ? say('withAPhoto', { words }) : say('aPhoto')
  return words
}

function reasonOf(entry) {
  if (!entry.refusal) return []
  const link = make('a', '', say('mendOrDropIt'))
  link.href = '/waiting'
  return [make('span', 'message', ` ${entry.refusal.detail ?? ''} `), link]
}

async function thumbnail(entry, place) {
  const blob = await ask('photo', { photo: entry.number })
  if (!blob) return
  const image = make('img', 'kept-photo')
  image.alt = say('photoThatWaits')
  image.src = URL.createObjectURL(blob)
  image.onload = () => URL.revokeObjectURL(image.src)
  place.append(image)
}

/** Beside the form that it came from, or else on top of the page. */
function placeNote(page, entry) {
  const forms = [...page.querySelectorAll('form')]
  const form = entry.path.endsWith('/photos')
    ? forms.find(
        (one) =>
          one.hasAttribute('data-photo') &&
          ['subjectId', 'shows'].every(
            (name) => (one.elements.namedItem(name)?.value ?? '') === fieldOf(entry, name),
          ),
      )
    : forms.find((one) => one.getAttribute('action') === entry.path)
  const slot = form?.closest('.photo-slot')
  if (slot) slot.append(note(entry))
  else if (form) form.before(note(entry))
  else page.querySelector('#flash')?.after(note(entry))
  if (!entry.path.endsWith('/conclude')) return
  // Nothing may be read after the end.
  const test = entry.path.replace(/conclude$/, '')
  for (const one of forms) if (one.getAttribute('action')?.startsWith(test)) one.hidden = true
}

// ---------------------------------------------------------------- a joint: one step after another

const list = (text) => (text ?? '').split(' ').filter(Boolean)
const jointAt = ({ dataset }) => ({
  id: dataset.joint,
  make: dataset.make || null,
  now: list(dataset.now),
  anew: list(dataset.anew),
})
const partnerAt = ({ dataset }) =>
  dataset.partner
    ? {
        id: dataset.partner,
        make: dataset.partnerMake || null,
        now: list(dataset.partnerNow),
        anew: list(dataset.partnerAnew),
      }
    : null

/** Where a joint stands once what waits is counted in: its making, what is left to do, and which entries say so. */
function stateOf(joint, entries) {
  const state = { make: joint.make, left: [...joint.now], rejected: false, kept: [], started: false }
  const begin = (id) =>
    Object.assign(state, { make: id, left: [...joint.anew], rejected: false, started: true })
  const did = (kind, entry) => {
    const at = state.left.indexOf(kind)
    if (at >= 0) state.left.splice(0, at + 1)
    if (kind === 'inspection' && fieldOf(entry, 'outcome') === 'rejected')
      Object.assign(state, { left: [], rejected: true })
  }
  for (const entry of entries) {
    const isOfJoint = entry.path === `/joints/${joint.id}/makes`
    const step = /^\/makes\/([^/]+)\/([a-z-]+)$/.exec(entry.path)
    const both = entry.path.endsWith('/steps') ? list(fieldOf(entry, '_both')) : []
    const kind = fieldOf(entry, '_step')
    const started = both.find((one) => one.startsWith(`${joint.id}:`))?.split(':')[1]
    if (isOfJoint) begin(fieldOf(entry, 'id'))
    else if (kind === 'make' && started) begin(started)
    else if (step && step[1] === state.make) did(step[2], entry)
    else if (state.make && both.includes(state.make)) did(kind, entry)
    else continue
    state.kept.push(entry)
  }
  return state
}

/** Null where this is no joint's page, or nothing of its steps waits; else what of the entries is left to be shown. */
function drawJoint(page, entries, here) {
  const next = page.querySelector('#next[data-joint]')
  const template = next?.querySelector('#later-steps')
  if (!template) return null
  const state = stateOf(jointAt(next), entries)
  if (state.kept.length === 0) return null
  const steps = stepsIn(next)
  const recorded = next.querySelectorAll('.step-recorded').length
  for (const old of steps.querySelectorAll('.step-next, .step-later')) old.remove()
  let number = state.started ? 0 : recorded
  for (const entry of state.kept) {
    const kind = /^\/makes\/[^/]+\/([a-z-]+)$/.exec(entry.path)?.[1] ?? fieldOf(entry, '_step')
    const isStart = entry.path.endsWith('/makes') || kind === 'make'
    if (!isStart) number += 1
    const title = template.content.querySelector(`[data-step="${kind}"]`)?.dataset.title
    steps.append(stepLine(entry, isStart ? '' : String(number), isStart ? '' : title))
  }
  const partner = partnerAt(next)
  const other = partner && stateOf(partner, entries)
  for (const [index, kind] of state.left.entries()) {
    const form = template.content.querySelector(`[data-step="${kind}"]`)
    if (!form) continue
    const item = make('li', index === 0 ? 'kept-here step step-next' : 'kept-here step step-later')
    const head = make('div', 'step-head')
    const figure = make('span', 'step-number', String(number + index + 1))
    figure.setAttribute('aria-hidden', 'true')
    if (index === 0) {
      item.setAttribute('aria-current', 'step')
      head.append(figure, make('h2', '', form.dataset.title))
      item.append(head, stepForm(form, state.make, other?.left[0] === kind ? other.make : null))
    } else {
      head.className = 'step-line'
      head.append(figure, make('span', 'step-words', form.dataset.title))
      item.append(head)
    }
    steps.append(item)
  }
  // What the service offers to start is started, or comes after it.
  for (const form of next.querySelectorAll(`form[action="/joints/${next.dataset.joint}/makes"]`))
    (form.closest('details, section') ?? form).hidden = true
  const remake = template.content.querySelector('[data-remake]').cloneNode(true)
  remake.classList.add('kept-here')
  remake.open = state.rejected
  freshen(remake)
  steps.parentElement.after(remake)
  if (state.left.length === 0 && !state.rejected)
    steps.append(make('li', 'kept-here step', say('everyStepRecorded')))
  return here.filter((entry) => !state.kept.includes(entry))
}

function stepsIn(next) {
  const known = next.querySelector('.steps-block > ol.steps')
  if (known) return known
  const block = make('div', 'steps-block')
  const steps = make('ol', 'steps')
  block.append(steps)
  next.prepend(block)
  return steps
}

/** The form of a step for this making; with the other joint at the unit where that waits for the same. */
function stepForm(template, makeId, partnerMakeId) {
  const copy = template.cloneNode(true)
  copy.removeAttribute('data-step')
  for (const form of copy.querySelectorAll('form'))
    form.setAttribute('action', form.getAttribute('action').replace('~make', makeId))
  const both = copy.querySelector('button[name=_both]')
  if (both && partnerMakeId)
    both.value = both.value.replace('~make', makeId).replace('~partner', partnerMakeId)
  else both?.remove()
  freshen(copy)
  return copy
}

// ---------------------------------------------------------------- a test that was started without a signal

/** Null where no test is started here; else the entries that are not about a test that was. */
function drawStarted(page, here) {
  const place = page.querySelector('[data-starts]')
  const template = page.querySelector('#once-started')
  if (!place || !template) return null
  const starts = here.filter((entry) => entry.path === place.dataset.starts)
  if (starts.length === 0) return null
  const about = (id) => here.filter((entry) => entry.path.includes(id) || fieldOf(entry, 'subjectId') === id)
  const isEnded = (id) => about(id).some((entry) => entry.path.endsWith('/conclude'))
  const shown = new Set()
  let running = null
  for (const start of starts) {
    const id = fieldOf(start, 'id')
    for (const entry of [start, ...about(id)]) {
      if (shown.has(entry)) continue
      shown.add(entry)
      place.before(note(entry))
    }
    if (!isEnded(id)) running = { id, readings: about(id).filter((entry) => /readings$/.test(entry.path)) }
  }
  place.hidden = running !== null
  if (running) {
    const copy = make('div', 'kept-here')
    copy.append(template.content.cloneNode(true))
    for (const form of copy.querySelectorAll('form'))
      form.setAttribute('action', form.getAttribute('action').replace('~test', running.id))
    for (const field of copy.querySelectorAll('input[name=subjectId]')) field.value = running.id
    const hold = running.readings.find((entry) =>
      entry.fields.some(
        ([name, value]) => /\.(stage|phase)$/.test(name) && ['hold', 'decay'].includes(value),
      ),
    )
    const since = copy.querySelector('[data-since]')
    if (hold && since) since.dataset.since = new Date(hold.deviceAt).toISOString()
    else since?.closest('p')?.remove()
    const last = running.readings.at(-1)
    for (const [name, value] of last?.fields ?? []) keepChoice(copy, name, value)
    freshen(copy)
    place.before(copy)
  }
  return here.filter((entry) => !shown.has(entry))
}

/** Stage, units and instruments stay as they were last; numbers are read anew. */
function keepChoice(root, name, value) {
  for (const field of root.querySelectorAll(`[name="${CSS.escape(name)}"]`))
    if (field.type === 'radio') field.checked = field.value === value
    else if (field.tagName === 'SELECT') field.value = value
}

// ---------------------------------------------------------------- mending what was refused

function mend(page, entries) {
  const number = Number(new URLSearchParams(location.search).get('mend'))
  const entry = number ? entries.find((one) => one.number === number && one.refusal) : undefined
  if (!entry) return
  const forms = [...page.querySelectorAll('form[method=post]')]
  const sends = (form) =>
    form.getAttribute('action') === entry.path || form.querySelector(`[formaction="${entry.path}"]`)
  const form = forms.find(sends) ?? laterForm(page, entry)
  const said = make('p', 'kept-here flash flash-refused')
  said.setAttribute('role', 'alert')
  if (!form) {
    said.append(
      make('strong', '', `${say('cannotMendHere')} `),
      `${entry.refusal.detail ?? ''} ${say('formNotOffered')} `,
    )
    const link = make('a', '', say('whatWaits'))
    link.href = '/waiting'
    said.append(link)
    page.querySelector('#flash')?.after(said)
    return
  }
  said.append(make('strong', '', `${say('refused')}. `), entry.refusal.detail ?? '')
  for (const { message } of entry.refusal.errors ?? []) said.append(make('br'), message)
  form.prepend(said)
  for (const box of page.querySelectorAll('details')) if (box.contains(form)) box.open = true
  fill(form, entry)
  const marker = make('input')
  Object.assign(marker, { type: 'hidden', name: '_mends', value: String(number) })
  form.append(marker)
  form.scrollIntoView({ block: 'start' })
}

/** A step whose turn has not come on this page: its form from among those of the later steps. */
function laterForm(page, entry) {
  const [, makeId, kind] = /^\/makes\/([^/]+)\/([a-z-]+)$/.exec(entry.path) ?? []
  const template = page.querySelector('#later-steps')
  const found = kind && template?.content.querySelector(`[data-step="${kind}"]`)
  if (!found) return null
  const copy = stepForm(found, makeId, null)
  copy.classList.add('kept-here', 'sheet')
  copy.prepend(make('h2', '', found.dataset.title))
  page.querySelector('#next')?.prepend(copy)
  return copy.querySelector('form')
}

function fill(form, entry) {
  for (const field of form.elements) {
    if (!field.name || field.type === 'submit' || field.type === 'file') continue
    const values = entry.fields.filter(([name]) => name === field.name).map(([, value]) => value)
    if (field.type === 'radio' || field.type === 'checkbox') field.checked = values.includes(field.value)
    else if (values.length > 0) field.value = values.at(-1)
    if (values.length > 0 && values.at(-1) !== '')
      for (let box = field.closest('details'); box; box = box.parentElement.closest('details'))
        box.open = true
  }
}
