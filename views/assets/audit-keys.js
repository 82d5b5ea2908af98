// How are many jobs read without a mouse? Single keys go from row to row, open, accept and ask; a switch turns them off.

const SWITCH = 'audit.keys'
const isOn = () => {
  try {
    return localStorage.getItem(SWITCH) !== 'off'
  } catch {
    return true
  }
}

const rows = () => [...document.querySelectorAll('[data-rows] [data-row]')]
const handle = (row) => row.querySelector('[data-open]') ?? row
/** The row that the focus is in; on a page just opened, none. */
const here = () => document.activeElement?.closest?.('[data-row]') ?? null

function goTo(row) {
  if (!row) return
  const target = handle(row)
  if (target === row && !row.hasAttribute('tabindex')) row.setAttribute('tabindex', '-1')
  target.focus({ preventScroll: true })
  const reduced = matchMedia('(prefers-reduced-motion: reduce)').matches
  row.scrollIntoView({
    block: row.offsetHeight > innerHeight * 0.8 ? 'start' : 'nearest',
    behavior: reduced ? 'auto' : 'smooth',
  })
}

function step(by) {
  const all = rows()
  const at = all.indexOf(here())
  goTo(at < 0 ? all[by > 0 ? 0 : all.length - 1] : all[Math.min(all.length - 1, Math.max(0, at + by))])
}

const press = (link) => link?.click()
const inRow = (selector) => here()?.querySelector(selector) ?? null

const KEYS = {
  j: () => step(1),
  k: () => step(-1),
  o: () => press(inRow('[data-open]')),
  a: () => inRow('form[data-accept]')?.requestSubmit(),
  q: () => press(inRow('[data-ask]')),
  n: () => press(document.querySelector('[data-next-job]')),
  p: () => press(document.querySelector('[data-previous-job]')),
  u: () => press(document.querySelector('[data-to-list]')),
}

document.addEventListener('keydown', (event) => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.repeat || event.isComposing) return
  if (!document.querySelector('[data-rows]') || !isOn()) return
  if (event.target.closest?.('input, textarea, select, [contenteditable]')) return
  const does = KEYS[event.key]
  if (!does) return
  event.preventDefault()
  does()
})

document.addEventListener('change', (event) => {
  if (!event.target.matches?.('[data-keys-on]')) return
  try {
    localStorage.setItem(SWITCH, event.target.checked ? 'on' : 'off')
  } catch {
    // Then they are on again at the next page.
  }
})

/** Shows the hint, and puts the hand where the address points: after an accepted row, on the next one. */
export function prepare() {
  for (const hint of document.querySelectorAll('[data-keys]')) {
    hint.hidden = false
    const box = hint.querySelector('[data-keys-on]')
    if (box) box.checked = isOn()
  }
  const named = location.hash.length > 1 ? document.getElementById(location.hash.slice(1)) : null
  const row = named?.closest('[data-row]')
  // Where a question is to be written, the hand is in it: browsers leave that alone at an address with a place in it.
  const asked = row?.querySelector('textarea[autofocus]')
  if (asked) asked.focus()
  else if (row && isOn()) goTo(row)
}
