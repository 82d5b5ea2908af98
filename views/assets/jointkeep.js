// What does the page do by itself when the browser lets it? Everything here can be missing: forms and pages work without.
;(() => {
  // ---- words: the page brings those that scripts say, in its own language
  const words = JSON.parse(document.getElementById('waiting')?.dataset.words ?? '{}')
  const say = (key, given = {}) => (words[key] ?? '').replace(/\{(\w+)\}/g, (_, name) => given[name] ?? '')
  const { lang } = document.documentElement
  window.jointkeep = { say, locale: lang === 'en' ? 'en-GB' : lang }

  const number = (text) => {
    const plain = String(text).trim().replace(/\s/g, '').replace(',', '.')
    return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : Number.NaN
  }
  const figure = (value) => {
    const size = Math.abs(value)
    return String(Number(value.toFixed(size >= 100 ? 0 : size >= 1 ? 1 : 3)))
  }
  const read = (store, key) => {
    try {
      return store.getItem(key)
    } catch {
      return null
    }
  }

  // ---- quantities: the other unit beside, and the unit switch that is remembered
  const unitsOf = (quantity) => {
    try {
      return JSON.parse(quantity.dataset.units ?? '[]')
    } catch {
      return []
    }
  }
  const inputOf = (quantity) => quantity.querySelector('input.number')
  const unitOf = (quantity) =>
    (quantity.querySelector('select') ?? quantity.querySelector('input[type=hidden]'))?.value

  function showOther(quantity) {
    const output = quantity.querySelector('output.also')
    const units = unitsOf(quantity)
    if (!output || units.length < 2) return
    const value = number(inputOf(quantity)?.value ?? '')
    const here = units.find((unit) => unit.unit === unitOf(quantity))
    const other = units.find((unit) => unit !== here)
    if (Number.isNaN(value) || !here || !other) {
      output.textContent = ''
      return
    }
    const si = value * here.factor + here.offset
    output.textContent = `= ${figure((si - other.offset) / other.factor)} ${other.label}`
  }

  function rememberUnit(quantity) {
    const kind = quantity.dataset.quantity
    const unit = unitOf(quantity)
    if (!kind || !unit) return
    try {
      localStorage.setItem(`unit.${kind}`, unit)
    } catch {
      // A phone that keeps nothing still works; the server's own choice stands.
    }
  }

  function restoreUnit(quantity) {
    const select = quantity.querySelector('select')
    const input = inputOf(quantity)
    const kept = read(window.localStorage, `unit.${quantity.dataset.quantity}`)
    // What came back from the server with a number in it is never changed.
    if (!select || !kept || !input || input.value !== '') return
    if ([...select.options].some((option) => option.value === kept)) select.value = kept
  }

  // ---- the range bar that follows the typing
  function drawLive(box) {
    const input = document.getElementById(box.dataset.liveRange ?? '')
    const quantity = input?.closest('.quantity')
    if (!input || !quantity) return
    const d = box.dataset
    const units = unitsOf(quantity)
    const here = units.find((unit) => unit.unit === unitOf(quantity))
    const judged = units.find((unit) => unit.unit === d.unit)
    const typed = number(input.value)
    const tick = box.querySelector('[data-live=tick]')
    const whisker = box.querySelector('[data-live=whisker]')
    const words = box.querySelector('output')
    if (!tick || !whisker || !words) return
    box.dataset.start ??= words.textContent
    if (Number.isNaN(typed) || !here || !judged) {
      tick.setAttribute('d', '')
      whisker.setAttribute('d', '')
      words.textContent = box.dataset.start
      box.classList.remove('live-out', 'live-in')
      return
    }
    const value = ((typed * here.factor) / judged.factor) * Number(d.factor ?? 1)
    const [low, high, from, to] = [d.low, d.high, d.from, d.to].map(Number)
    const [left, right, line] = [d.left, d.right, d.line].map(Number)
    const x = (at) => {
      const clamped = Math.min(to, Math.max(from, at))
      return Math.round((left + ((right - left) * (clamped - from)) / (to - from)) * 10) / 10
    }
    tick.setAttribute('d', `M${x(value)} ${line - 16}v32`)
    const said = []
    // A hair of room, so that a bound typed in another unit counts as reached.
    const hair = Math.abs(high) * 1e-9
    const within = value >= low - hair && value <= high + hair
    said.push(within ? d.within : value < low ? d.below : d.above)
    if (here !== judged || Number(d.factor ?? 1) !== 1)
      said.push(say('atTheJoint', { torque: `${figure(value)} ${d.unitLabel}` }))
    if (d.accuracy) {
      const half = (Math.abs(value) * Number(d.accuracy)) / 100
      whisker.setAttribute(
        'd',
        `M${x(value - half)} ${line - 5}v10M${x(value + half)} ${line - 5}v10M${x(value - half)} ${line}H${x(value + half)}`,
      )
      said.push(
        say('withItsError', {
          percent: d.accuracy,
          low: figure(value - half),
          high: figure(value + half),
        }),
      )
    }
    words.textContent = said.filter(Boolean).join(' ')
    box.classList.toggle('live-out', !within)
    box.classList.toggle('live-in', within)
  }
  const drawAllLive = () => document.querySelectorAll('[data-live-range]').forEach(drawLive)

  // ---- the running clock of a test
  function tickClocks() {
    for (const clock of document.querySelectorAll('[data-since]')) {
      const since = Date.parse(clock.dataset.since ?? '')
      if (Number.isNaN(since)) continue
      const seconds = Math.max(0, Math.floor((Date.now() - since) / 1000))
      const two = (part) => String(part).padStart(2, '0')
      const hours = Math.floor(seconds / 3600)
      clock.textContent = `${hours > 0 ? `${hours}:` : ''}${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`
      const enough = Number(clock.dataset.enough ?? Number.NaN)
      if (!Number.isNaN(enough)) clock.classList.toggle('clock-enough', seconds >= enough * 60)
    }
  }

  // ---- after a piece of the page was put in place: where does somebody without a mouse go on?
  function focusFirstError(root) {
    const wrong = root.querySelector('[aria-invalid="true"], .message-form')
    if (!wrong) return false
    const folded = wrong.closest('details:not([open])')
    if (folded) folded.open = true
    wrong.focus()
    return true
  }
  const isForm = (element) => element?.tagName === 'FORM'
  function goOn(sent) {
    // A piece that draws itself anew while somebody reads leaves them where they are.
    if (sent?.matches && !sent.matches('a, form, body')) return
    const page = document.getElementById('page')
    if (!page || focusFirstError(page)) return
    const here = document.activeElement
    // A field that asks for it has it by now; what is read again as it is chosen keeps its place.
    if (here?.hasAttribute('autofocus') || (sent?.dataset?.reread !== undefined && page.contains(here)))
      return
    const named = location.hash.length > 1 ? document.getElementById(location.hash.slice(1)) : null
    const next = isForm(sent) ? page.querySelector('.step-next :is(h2, h3, h4), [data-goes-on]') : null
    const told = isForm(sent) ? page.querySelector('.flash') : null
    const place = named ?? next ?? told ?? page.querySelector('h1') ?? page
    if (!place.matches('a[href], button, input, select, textarea, summary, [tabindex]')) place.tabIndex = -1
    place.focus({ preventScroll: true })
    if (place === next) place.scrollIntoView({ block: 'nearest' })
  }

  // ---- local times: the server is told how far this clock stands from UTC
  const tellOffset = (root) => {
    for (const field of root.querySelectorAll('input[name=_offset]'))
      field.value = String(new Date().getTimezoneOffset())
  }
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone
  if (zone) {
    const told = `jointkeep_zone=${encodeURIComponent(zone)}`
    // biome-ignore lint/suspicious/noDocumentCookie: the Cookie Store API is missing on many phones
    document.cookie = `${told}; path=/; max-age=31536000; samesite=lax`
  }

  // ---- photos: what makes them small and sends them is fetched only where one can be added
  let photos = null
  let due = null
  const wakePhotos = (root) => {
    if (photos === null && root.querySelector('form[data-photo]')) photos = import('/assets/photos.js')
    // ---- the same for what counts down to the next reading of a test, and reads a log again
    if (due === null && root.querySelector('[data-due], form[data-reread]'))
      due = import('/assets/reading-due.js')
  }

  // ---- tags: what reads them with the camera is fetched only where there is a field, and where a browser can
  let scanner = null
  const wakeScanner = (root) => {
    if (scanner === null && 'BarcodeDetector' in window && root.querySelector('form[data-tag-scan]'))
      scanner = import('/assets/tag-scan.js')
  }

  // ---- keys that read through the audits: fetched only where there are rows to go through
  let keys = null
  const wakeKeys = (root) => {
    if (keys === null && root.querySelector('[data-rows]')) keys = import('/assets/audit-keys.js')
    if (root.querySelector('[data-rows]')) keys.then(({ prepare }) => prepare())
  }

  // ---- passkeys: what asks the browser for one is fetched only where one can be made or used
  let passkeys = null
  const wakePasskeys = (root) => {
    if (!root.querySelector('[data-passkey]')) return
    passkeys ??= import('/assets/passkeys.js')
    passkeys.then(({ prepare }) => prepare())
  }

  function wake(root) {
    tellOffset(root)
    wakeKeys(root)
    wakePhotos(root)
    wakeScanner(root)
    wakePasskeys(root)
    for (const quantity of root.querySelectorAll('.quantity')) {
      restoreUnit(quantity)
      showOther(quantity)
    }
    drawAllLive()
    tickClocks()
  }

  document.addEventListener('input', (event) => {
    const quantity = event.target.closest?.('.quantity')
    if (quantity) showOther(quantity)
    drawAllLive()
  })
  document.addEventListener('change', (event) => {
    const quantity = event.target.closest?.('.quantity')
    if (quantity && event.target.tagName === 'SELECT') {
      rememberUnit(quantity)
      showOther(quantity)
      drawAllLive()
    }
  })
  document.addEventListener('jointkeep:drawn', () => wake(document))
  let sent = null
  document.addEventListener('htmx:before:swap', ({ detail }) => {
    sent = detail?.ctx?.sourceElement ?? null
  })
  document.addEventListener('htmx:after:swap', () => {
    wake(document)
    goOn(sent)
    sent = null
  })

  // ---- paper shows what the screen folds; browsers that can't do it by stylesheet are helped
  let unfolded = []
  window.addEventListener('beforeprint', () => {
    unfolded = [...document.querySelectorAll('main details:not([open]):not(.ps-text)')]
    for (const one of unfolded) one.open = true
  })
  window.addEventListener('afterprint', () => {
    for (const one of unfolded) one.open = false
    unfolded = []
  })

  // ---- without a signal: what keeps pages and entries on this phone comes when the page is already in use
  const wakePhone = () => import('/assets/phone.js').catch(() => {})
  if ('serviceWorker' in navigator && window.isSecureContext) {
    if (document.readyState === 'complete') wakePhone()
    else window.addEventListener('load', () => setTimeout(wakePhone, 200), { once: true })
  }

  wake(document)
  setInterval(tickClocks, 1000)
})()
