// When is the next reading due? Counts down, and calls: on the page, in its title, by a short buzz, and where that was
// allowed by a notification. Nothing moves the page, takes the focus or makes a sound.

const { say } = window.jointkeep
const KEPT = 'remind'
const MARK = '● '
/** Nobody counts the seconds of a test that was left yesterday. */
const LONG_AGO = 12 * 3_600_000

const read = (store, key) => {
  try {
    return store.getItem(key)
  } catch {
    return null
  }
}
const keep = (store, key, value) => {
  try {
    store.setItem(key, value)
  } catch {
    // A phone that keeps nothing calls once more after the page was loaded again.
  }
}

const two = (part) => String(part).padStart(2, '0')
function span(milliseconds) {
  const seconds = Math.max(0, Math.round(milliseconds / 1000))
  const hours = Math.floor(seconds / 3600)
  return `${hours > 0 ? `${hours}:` : ''}${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`
}

const canNotify = () => 'Notification' in window
const mayNotify = () =>
  canNotify() && Notification.permission === 'granted' && read(localStorage, KEPT) === 'yes'

async function notify(words, tag, url) {
  const options = { body: document.title.replace(MARK, ''), tag, data: { url } }
  try {
    // Phones let only the worker show one.
    const worker = await navigator.serviceWorker?.getRegistration()
    if (worker) await worker.showNotification(words, options)
    else {
      const shown = new Notification(words, options)
      shown.addEventListener('click', () => {
        window.focus()
        shown.close()
      })
    }
  } catch {
    // The page says it all the same.
  }
}

function call(box, at) {
  const what = box.dataset.dueWhat ?? say('reading')
  const key = `due.${box.dataset.dueTest}`
  const said = box.querySelector('.due-said')
  if (said) said.textContent = say('timeToRead')
  if (read(sessionStorage, key) === String(at)) return
  keep(sessionStorage, key, String(at))
  // Browsers refuse where nobody has touched the page; then it stays quiet.
  if (navigator.userActivation?.hasBeenActive !== false) navigator.vibrate?.([180, 120, 180])
  if (mayNotify() && document.hidden) void notify(say('itIsTime', { what }), key, location.href)
}

/** The page's own title, without the mark. */
const titled = (isDue) => {
  const plain = document.title.startsWith(MARK) ? document.title.slice(MARK.length) : document.title
  const wanted = isDue ? `${MARK}${plain}` : plain
  if (document.title !== wanted) document.title = wanted
}

function tick() {
  const box = document.querySelector('[data-due]')
  if (!box) {
    titled(false)
    return
  }
  const at = Date.parse(box.dataset.due ?? '')
  if (Number.isNaN(at)) return
  const left = at - Date.now()
  const isDue = left <= 0
  const line = box.querySelector('[data-due-left]')
  // Read by a screen reader on demand; only the call itself is announced.
  const words = isDue
    ? left < -LONG_AGO
      ? ''
      : `: ${say('ago', { time: span(-left) })}`
    : `, ${say('in', { time: span(left) })}`
  if (line && line.textContent !== words) line.textContent = words
  box.classList.toggle('due-now', isDue)
  titled(isDue)
  if (isDue) call(box, at)
}

// ---- asked for by whoever wants it, never by the page
function offer() {
  for (const button of document.querySelectorAll('[data-due-remind]')) {
    if (!canNotify() || Notification.permission === 'denied') {
      button.hidden = true
      continue
    }
    button.hidden = false
    button.textContent = say(mayNotify() ? 'stopReminding' : 'remindMe')
  }
}

document.addEventListener('click', async (event) => {
  if (!event.target.closest?.('[data-due-remind]')) return
  if (mayNotify()) keep(localStorage, KEPT, 'no')
  else if ((await Notification.requestPermission()) === 'granted') keep(localStorage, KEPT, 'yes')
  offer()
})

// ---- a log is read again as soon as something of it is chosen
document.addEventListener('change', (event) => {
  const form = event.target.closest?.('form[data-reread]')
  if (form && event.target.tagName === 'SELECT') form.requestSubmit()
})

const wake = () => {
  offer()
  tick()
}
document.addEventListener('htmx:after:swap', wake)
document.addEventListener('visibilitychange', tick)
setInterval(tick, 1000)
wake()
