// What does the phone do without a signal? Pages seen before are shown again; what is entered is kept, and sent in order.
/* global importScripts, outbox */
importScripts('/assets/idb/umd.js', '/assets/outbox.js')

const ASSETS = 'assets'
const PAGES = 'pages '
const NEEDED = [
  'jointkeep.css',
  'htmx-shim.js',
  'htmx/htmx.min.js',
  'jointkeep.js',
  'phone.js',
  'kept-here.js',
  'waiting.js',
  'photos.js',
  'reading-due.js',
  'icon.svg',
  'jointkeep.webmanifest',
].map((name) => `/assets/${name}`)

/** What is shown in place of a page that is not kept. */
const NO_SIGNAL = '/no-signal'

const ID = '[0-9a-f-]{36}'
/** Forms that record work: what they say is kept here first, and then sent. */
const RECORDS = [
  `/joints/${ID}/(makes|leak-checks)`,
  `/makes/${ID}/(preparation|flare|brazing|pressing|inspection|assembly|torque|closing|leak-check)`,
  `/jobs/${ID}/(steps|left-out)`,
  `/systems/${ID}/(pressure-tests|evacuations|charges|running-checks)`,
  `/(pressure-tests|evacuations)/${ID}/(readings|conclude)`,
  '/corrections',
  `/audit-questions/${ID}/answers`,
  '/photos',
  '/api/v1/photos',
].map((path) => new RegExp(`^${path}$`))
/** Pages of the work, which are kept to be read without a signal. */
const READS = [
  '/jobs',
  `/jobs/${ID}`,
  `/joints/${ID}`,
  `/systems/${ID}`,
  `/systems/${ID}/(pressure-tests|evacuations)/new`,
  `/systems/${ID}/(charge|running-checks)`,
  `/(pressure-tests|evacuations|equipment-sheets|sites)/${ID}`,
  '/waiting',
].map((path) => new RegExp(`^${path}$`))
const among = (paths, path) => paths.some((one) => one.test(path))

/** A page that was kept is shown when the network takes longer than this. */
const READ_PATIENCE_MS = 6_000
/** How long a form that was sent waits for its answer, with all that goes before it, until it counts as kept. */
const WRITE_PATIENCE_MS = 10_000
const PHOTO_PATIENCE_MS = 60_000
const MOST_PAGES = 400
/** What was fetched ahead is fetched again after this time, if the job has changed. */
const AHEAD_AGAIN_MS = 10 * 60_000

const sleep = (milliseconds) => new Promise((done) => setTimeout(done, milliseconds))

self.addEventListener('install', (event) => {
  self.skipWaiting()
  event.waitUntil(caches.open(ASSETS).then((cache) => cache.addAll([...NEEDED, NO_SIGNAL])))
})
self.addEventListener('activate', (event) => event.waitUntil(self.clients.claim()))

self.addEventListener('fetch', (event) => {
  const { request } = event
  const url = new URL(request.url)
  if (url.origin !== location.origin) return
  if (request.method === 'POST') {
    if (among(RECORDS, url.pathname)) event.respondWith(record(event, url))
    else if (url.pathname === '/sign-out') event.respondWith(signOut(event))
  } else if (request.method === 'GET') {
    if (url.pathname.startsWith('/assets/')) event.respondWith(asset(event))
    else if (request.mode === 'navigate' || request.headers.get('accept')?.includes('text/html'))
      if (!/^\/(photos|api|health|metrics)\b/.test(url.pathname)) event.respondWith(page(event, url))
  }
})

// ---------------------------------------------------------------- reading

async function asset(event) {
  const { pathname } = new URL(event.request.url)
  try {
    const response = await fetch(event.request)
    if (response.ok && NEEDED.includes(pathname)) {
      const copy = response.clone()
      event.waitUntil(caches.open(ASSETS).then((cache) => cache.put(pathname, copy)))
    }
    return response
  } catch (problem) {
    const kept = await (await caches.open(ASSETS)).match(pathname)
    if (kept) return kept
    throw problem
  }
}

async function page(event, url) {
  const known = await keptPage(url)
  const asked = fetch(event.request).then((response) => {
    event.waitUntil(keep(response.clone(), url).catch(() => {}))
    return response
  })
  if (known) event.waitUntil(asked.catch(() => {}))
  try {
    const response = await (known ? Promise.race([asked, sleep(READ_PATIENCE_MS)]) : asked)
    if (known && (!response || [408, 429, 502, 503, 504].includes(response.status))) return asKept(known)
    return response
  } catch {
    return known ? asKept(known) : notKept()
  }
}

async function keptPage(url) {
  const member = await outbox.recall('member')
  if (!member || !among(READS, url.pathname)) return undefined
  const cache = await caches.open(PAGES + member)
  return (
    (await cache.match(url.pathname + url.search)) ??
    (await cache.match(url.pathname, { ignoreSearch: true }))
  )
}

/** Whose page it is stands in it; it is kept for them, and shown to nobody else. */
async function keep(response, asked) {
  await learnClock(response)
  if (!response.ok || !response.headers.get('content-type')?.startsWith('text/html')) return
  const url = response.redirected ? new URL(response.url) : asked
  const text = await response.text()
  const member = /<div id="waiting"[^>]* data-member="([0-9a-f-]+)"/.exec(text)?.[1]
  if (!member) return
  await isMember(member)
  await isIn(langOf(text), member)
  if (!among(READS, url.pathname)) return
  const headers = new Headers(response.headers)
  for (const name of ['content-encoding', 'content-length', 'set-cookie', 'transfer-encoding'])
    headers.delete(name)
  headers.set('kept-at', new Date().toISOString())
  const cache = await caches.open(PAGES + member)
  await cache.put(url.pathname + url.search, new Response(text, { headers }))
  const keys = await cache.keys()
  for (const old of keys.slice(0, Math.max(0, keys.length - MOST_PAGES))) await cache.delete(old)
}

async function isMember(member) {
  if ((await outbox.recall('member')) === member) return
  await outbox.remember('member', member)
  await outbox.remember('ahead', {})
  for (const name of await caches.keys())
    if (name.startsWith(PAGES) && name !== PAGES + member) await caches.delete(name)
}

/** Whoever reads in another language from now on does so without a signal too: what was kept is fetched anew. */
async function isIn(lang, member) {
  const before = await outbox.recall('lang')
  if (before === lang) return
  await outbox.remember('lang', lang)
  await (await caches.open(ASSETS)).add(NO_SIGNAL)
  if (before === undefined) return
  await caches.delete(PAGES + member)
  await outbox.remember('ahead', {})
}

/** How far this clock stands from the server's, to a second; small changes are the network's, not the clock's. */
async function learnClock(response) {
  const there = Date.parse(response.headers.get('date') ?? '')
  if (Number.isNaN(there)) return
  const ahead = there + 500 - Date.now()
  const known = await outbox.recall('clock')
  if (known === undefined || Math.abs(known - ahead) > 2_000) await outbox.remember('clock', ahead)
}

function clockWords(iso, lang) {
  const at = new Date(iso)
  const locale = lang === 'en' ? 'en-GB' : lang
  const isToday = at.toDateString() === new Date().toDateString()
  const time = at.toLocaleTimeString(locale, { hour: '2-digit', minute: '2-digit' })
  return isToday ? time : `${at.toLocaleDateString(locale, { day: 'numeric', month: 'long' })}, ${time}`
}

const langOf = (text) => /<html lang="([a-z-]+)"/.exec(text)?.[1] ?? 'en'

async function asKept(response) {
  const at = response.headers.get('kept-at') ?? new Date().toISOString()
  const kept = await response.text()
  const time = `<time datetime="${at}">${clockWords(at, langOf(kept))}</time>`
  const text = kept
    .replace(
      /<p id="kept-note" class="kept-note" hidden>([\s\S]*?)<time><\/time>/,
      (_, before) => `<p id="kept-note" class="kept-note" data-kept-at="${at}">${before}${time}`,
    )
    // The first time used up the names that its forms give to what they record.
    .replace(
      /(<input type="hidden" name="(?:id|_key)" value=")[^"]*/g,
      (_, before) => before + outbox.freshId(),
    )
  return new Response(text, { headers: response.headers })
}

/** The page that says so, in the reader's language, was fetched while there was a signal. */
async function notKept() {
  const kept = await (await caches.open(ASSETS)).match(NO_SIGNAL)
  return kept ? new Response(kept.body, { status: 503, headers: kept.headers }) : Response.error()
}

/** Pages leave the phone with the person; what waits to be sent stays, and is theirs alone. */
async function signOut(event) {
  const member = await outbox.recall('member')
  if (member) await Promise.race([send().catch(() => {}), sleep(8_000)])
  const response = await fetch(event.request)
  if (response.ok || response.redirected || response.type === 'opaqueredirect') {
    for (const name of await caches.keys()) if (name.startsWith(PAGES)) await caches.delete(name)
    await outbox.remember('member', null)
    await outbox.remember('ahead', {})
  }
  return response
}

// ---------------------------------------------------------------- writing

async function record(event, url) {
  const plain = event.request.clone()
  let number
  try {
    const entry = await entryOf(event.request, url)
    if (!entry) return fetch(plain)
    number = await outbox.put(entry)
  } catch {
    // A phone that can keep nothing still works as long as there is a signal.
    return fetch(plain)
  }
  awaited.add(number)
  const sending = send()
  event.waitUntil(sending.catch(() => {}))
  const isPhoto = url.pathname.endsWith('/photos')
  await Promise.race([sending.catch(() => {}), sleep(isPhoto ? PHOTO_PATIENCE_MS : WRITE_PATIENCE_MS)])
  const given = await answer(number, url)
  awaited.delete(number)
  await tell()
  return given
}

/** What a page is still waiting to hear of: it says so itself, and is told of it as kept only when it is. */
const awaited = new Set()

async function entryOf(request, url) {
  const known = await outbox.recall('member')
  const member = request.headers.get('as-member') ?? known
  if (!member) return null
  const fields = []
  const files = []
  const isForm = request.headers.get('content-type')?.startsWith('application/x-www-form-urlencoded')
  const sent = isForm ? new URLSearchParams(await request.text()) : await request.formData()
  for (const [name, value] of sent)
    if (typeof value === 'string') fields.push([name, value])
    else if (value.size > 0) files.push([name, value])
  const given = Object.fromEntries(fields)
  // What names itself by nothing gets a name of its own here, so that it can be sent twice and count once.
  if (!given.id && !given._key) fields.push(['_key', crypto.randomUUID()])
  const deviceAt = Date.now()
  const before = await mended(given._mends, member)
  return {
    ...(before ? { number: before.number } : {}),
    member,
    path: url.pathname,
    fields: fields.filter(([name]) => name !== '_mends'),
    files: files.length > 0 ? files : (before?.files ?? []),
    page: pageOf(request),
    said: decodeURIComponent(request.headers.get('entered-as') ?? ''),
    deviceAt: before?.deviceAt ?? deviceAt,
    enteredAt: before?.enteredAt ?? deviceAt + ((await outbox.recall('clock')) ?? 0),
  }
}

/** An entry that was refused, and now comes again with other words: it keeps its place. */
async function mended(number, member) {
  const entry = number ? await outbox.find(Number(number)) : undefined
  return entry?.member === member && entry.refusal ? entry : undefined
}

function pageOf(request) {
  const from = request.headers.get('entered-on') ?? request.headers.get('hx-current-url') ?? request.referrer
  try {
    const { origin, pathname, search } = new URL(from, location.origin)
    return origin === location.origin && among(READS, pathname) ? pathname + search : '/waiting'
  } catch {
    return '/waiting'
  }
}

async function answer(number, url) {
  const isProgram = url.pathname.startsWith('/api/')
  const said = outbox.answers.get(number)
  outbox.answers.delete(number)
  if (said) {
    if (!isProgram) return Response.redirect(said.location ?? '/jobs', 303)
    return json(said.status, said.text)
  }
  const entry = await outbox.find(number)
  if (!entry) return Response.redirect('/jobs', 303)
  if (entry.refusal) return refused(entry, isProgram)
  if (isProgram) return json(202, JSON.stringify({ waiting: true }))
  if ((await outbox.recall('stopped')) === 'signed-out' && navigator.onLine)
    return Response.redirect(`/sign-in?next=${encodeURIComponent(entry.page)}`, 303)
  return Response.redirect(entry.page, 303)
}

const json = (status, text) =>
  new Response(text, { status, headers: { 'content-type': 'application/json; charset=utf-8' } })

/** Whoever sent it is there to read why it was refused: the form comes back filled in, and nothing is left here. */
async function refused(entry, isProgram) {
  if (isProgram) {
    await outbox.drop(entry.number)
    await tell()
    return json(entry.refusal.status, JSON.stringify(entry.refusal))
  }
  try {
    const response = await outbox.send(entry, 'text/html')
    if (!outbox.stopFor(response.status)) {
      await outbox.drop(entry.number)
      await tell()
      return response.redirected ? Response.redirect(response.url, 303) : response
    }
  } catch {
    // The network went meanwhile: it stays here as refused, and is shown.
  }
  return Response.redirect(entry.page, 303)
}

let notBefore = 0
async function send() {
  const member = await outbox.recall('member')
  if (!member) return
  await tell()
  const { sent, stopped, after } = await outbox.drain(member)
  notBefore = stopped === 'busy' ? Date.now() + Math.min(after, 300) * 1000 : 0
  await outbox.remember('stopped', stopped)
  await tell(sent)
}

// ---------------------------------------------------------------- what the pages are told, and what they may ask

async function told(sent = 0) {
  const member = await outbox.recall('member')
  // Messages may overtake each other: what was read first is the older.
  const at = performance.timeOrigin + performance.now()
  const entries = await outbox.all()
  const mine = entries.filter((entry) => entry.member === member)
  const held = outbox.heldBack(mine)
  return {
    at,
    sent,
    stopped: await outbox.recall('stopped'),
    others: entries.length - mine.length,
    entries: mine
      .filter((entry) => !awaited.has(entry.number))
      .map(({ files, member: _, ...entry }) => ({
        ...entry,
        photos: files.length,
        held: held.has(entry.number),
      })),
  }
}

async function tell(sent) {
  const about = await told(sent)
  for (const client of await self.clients.matchAll({ type: 'window', includeUncontrolled: true }))
    client.postMessage(about)
}

self.addEventListener('message', (event) => {
  const { ask, number, photo } = event.data ?? {}
  const port = event.ports[0]
  const work = {
    told: async () => port?.postMessage(await told()),
    send: () => (Date.now() < notBefore ? tell() : send()),
    again: async () => {
      await outbox.change(number, { refusal: undefined })
      await send()
    },
    drop: async () => {
      const entry = await outbox.find(number)
      if (entry && entry.member === (await outbox.recall('member'))) await outbox.drop(number)
      await send()
    },
    photo: async () => port?.postMessage((await outbox.find(photo))?.files[0]?.[1] ?? null),
    ahead: () => fetchAhead(),
  }[ask]
  if (work) event.waitUntil(work().catch(() => {}))
})

async function fetchPage(path) {
  const response = await fetch(path, { headers: { accept: 'text/html' } })
  if (response.ok) await keep(response, new URL(path, location.origin))
}

/** The pages of open jobs, before they are needed: a few at a time, and only of jobs that have changed. */
let fetching = false
async function fetchAhead() {
  if (fetching || navigator.connection?.saveData) return
  fetching = true
  try {
    const response = await fetch('/api/v1/phone-pages', { headers: { accept: 'application/json' } })
    if (!response.ok) return
    const { member, items } = await response.json()
    await isMember(member.id)
    const before = (await outbox.recall('ahead')) ?? {}
    const after = {}
    for (const { jobId, version, pages } of items) {
      const known = before[jobId]
      const isFresh = known && (known.version === version || Date.now() - known.at < AHEAD_AGAIN_MS)
      after[jobId] = isFresh ? known : { version, at: Date.now() }
      const cache = await caches.open(PAGES + member.id)
      const wanted = []
      for (const path of pages) if (!isFresh || !(await cache.match(path))) wanted.push(path)
      for (let at = 0; at < wanted.length; at += 3) await Promise.all(wanted.slice(at, at + 3).map(fetchPage))
      // Somebody else may have signed in meanwhile.
      if ((await outbox.recall('member')) !== member.id) return
      await outbox.remember('ahead', { ...before, ...after })
    }
    await outbox.remember('ahead', after)
  } catch {
    // The signal went; what is not kept yet is fetched the next time.
  } finally {
    fetching = false
  }
}
