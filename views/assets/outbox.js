// What was entered on this phone and is not on the server yet? Kept in order, sent once, dropped only when the server has it.
/* global idb, outbox */
// biome-ignore lint/correctness/noUnusedVariables: the worker reads it after importScripts
const outbox = (() => {
  /** A form is small; a photo over a weak signal takes its time. */
  const FORM_PATIENCE_MS = 20_000
  const PHOTO_PATIENCE_MS = 180_000
  const UUID = /[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}/g

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

  let opened
  function open() {
    opened ??= idb.openDB('jointkeep', 1, {
      upgrade(db) {
        db.createObjectStore('entries', { keyPath: 'number', autoIncrement: true })
        db.createObjectStore('state')
      },
      terminated() {
        opened = undefined
      },
    })
    return opened
  }
  const recall = async (key) => (await open()).get('state', key)
  const remember = async (key, value) => (await open()).put('state', value, key)

  const all = async () => (await open()).getAll('entries')
  const find = async (number) => (await open()).get('entries', number)
  const drop = async (number) => (await open()).delete('entries', number)
  const put = async (entry) => (await open()).put('entries', entry)

  /** Changes an entry unless it is gone meanwhile. */
  async function change(number, with_) {
    const transaction = (await open()).transaction('entries', 'readwrite')
    const entry = await transaction.store.get(number)
    if (entry) await transaction.store.put({ ...entry, ...with_ })
    await transaction.done
  }

  const fieldOf = (entry, name) => entry.fields.find(([key]) => key === name)?.[1] ?? ''

  /**
   * The things that an entry is about and that another may rest on: a making, a test, a joint; not the job and the
   * system, which have much else going on.
   */
  function subjectsOf(entry) {
    const named = [fieldOf(entry, 'id'), fieldOf(entry, '_both'), fieldOf(entry, 'stepId')]
    if (!/^\/(systems|jobs)\//.test(entry.path)) named.push(entry.path)
    if (!['job', 'system'].includes(fieldOf(entry, 'subjectKind'))) named.push(fieldOf(entry, 'subjectId'))
    return named.join(' ').match(UUID) ?? []
  }

  /** What waits behind a refused entry that it rests on: going on without that one would be refused, or worse, taken. */
  function heldBack(entries) {
    const blocked = new Set()
    const held = new Set()
    for (const entry of entries) {
      const subjects = subjectsOf(entry)
      if (!entry.refusal && !subjects.some((id) => blocked.has(id))) continue
      if (!entry.refusal) held.add(entry.number)
      for (const id of subjects) blocked.add(id)
    }
    return held
  }

  function bodyOf(entry) {
    if (entry.files.length === 0) return new URLSearchParams(entry.fields)
    const body = new FormData()
    for (const [name, value] of entry.fields) body.append(name, value)
    for (const [name, blob] of entry.files) body.append(name, blob, 'photo.jpg')
    return body
  }

  const send = (entry, accept = 'application/json') =>
    fetch(entry.path, {
      method: 'POST',
      credentials: 'same-origin',
      body: bodyOf(entry),
      headers: {
        accept,
        'as-member': entry.member,
        'device-time': new Date(entry.deviceAt).toISOString(),
        'entered-at': new Date(entry.enteredAt).toISOString(),
      },
      signal: AbortSignal.timeout(entry.files.length === 0 ? FORM_PATIENCE_MS : PHOTO_PATIENCE_MS),
    })

  /** What the server said to what was sent lately, for whoever still waits for it. */
  const answers = new Map()

  /** Why nothing more can be sent now, by the status of an answer; null when one may go on. */
  function stopFor(status) {
    if (status === 401) return 'signed-out'
    return status === 408 || status === 429 || status >= 500 ? 'busy' : null
  }

  async function sendOne(entry) {
    let response
    let text
    try {
      response = await send(entry)
      text = await response.text()
    } catch {
      return { stopped: 'no-signal' }
    }
    const stopped = stopFor(response.status)
    if (stopped) return { stopped, after: Number(response.headers.get('retry-after')) || 0 }
    const said = readJson(text)
    if (response.ok && said !== null) {
      answers.set(entry.number, { status: response.status, text, location: said.location })
      setTimeout(() => answers.delete(entry.number), 60_000)
      await drop(entry.number)
      return { sent: true }
    }
    // An answer that is none of ours, such as a hotel's own page in front of the network, is no answer at all.
    if (response.ok || said?.code === undefined) return { stopped: 'no-signal' }
    const { title, detail, code, errors = [] } = said
    await change(entry.number, { refusal: { status: response.status, title, detail, code, errors } })
    return { refused: true }
  }

  function readJson(text) {
    try {
      return JSON.parse(text)
    } catch {
      return null
    }
  }

  /** Sends what is this member's, oldest first, one after another, until something stands in the way. */
  function drain(member) {
    return navigator.locks.request('jointkeep-outbox', async () => {
      const outcome = { sent: 0, stopped: null, after: 0 }
      let last = 0
      for (;;) {
        const mine = (await all()).filter((entry) => entry.member === member)
        const held = heldBack(mine)
        const entry = mine.find((one) => one.number > last && !one.refusal && !held.has(one.number))
        if (!entry) return outcome
        last = entry.number
        const done = await sendOne(entry)
        if (done.sent) outcome.sent += 1
        if (done.stopped) return { ...outcome, stopped: done.stopped, after: done.after ?? 0 }
      }
    })
  }

  return {
    all,
    answers,
    change,
    drain,
    drop,
    fieldOf,
    find,
    freshId,
    heldBack,
    put,
    recall,
    remember,
    send,
    stopFor,
  }
})()
