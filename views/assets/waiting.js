// What waits on this phone, and what can be done with each entry of it?

import { again, ask, drop, inWords } from '/assets/phone.js'

const { say, locale } = window.jointkeep

const clock = (at) =>
  new Date(at).toLocaleString(locale, { day: 'numeric', month: 'long', hour: '2-digit', minute: '2-digit' })

const STATES = { refused: 'refused', held: 'waitsForBefore', waiting: 'waits' }
let shown = ''

export function draw({ entries }) {
  const list = document.getElementById('kept-entries')
  const template = document.getElementById('kept-entry')
  if (!list || !template) return
  document.getElementById('kept-none').hidden = entries.length > 0
  const send = document.getElementById('kept-send')
  send.hidden = !entries.some((entry) => !entry.refusal)
  send.onclick = () => void ask('send')
  // Drawn anew only when something changed, so that nobody's finger meets another button than it meant.
  const now = JSON.stringify(entries)
  if (now === shown && list.childElementCount > 0) return
  shown = now
  list.replaceChildren(...entries.map((entry) => item(template, entry, entries)))
}

function item(template, entry, entries) {
  const one = template.content.cloneNode(true).firstElementChild
  const part = (name) => one.querySelector(`[data-part="${name}"]`)
  const state = entry.refusal ? 'refused' : entry.held ? 'held' : 'waiting'
  one.classList.add(`kept-${state}`)
  part('state').textContent = say(STATES[state])
  part('at').textContent = say('enteredAt', { at: clock(entry.deviceAt) })
  part('said').textContent = entry.photos ? say('withItsPhoto', { words: inWords(entry) }) : inWords(entry)
  if (entry.refusal) {
    const { detail = say('serverRefused'), errors = [] } = entry.refusal
    // Where a field is at fault, what is wrong with it says more than that something is.
    part('reason').hidden = errors.length > 0
    part('reason').textContent = detail
    part('errors').hidden = errors.length === 0
    part('errors').replaceChildren(
      ...errors.map(({ message }) => Object.assign(document.createElement('li'), { textContent: message })),
    )
  }
  const mend = part('mend')
  mend.hidden = !entry.refusal || entry.page === '/waiting' || entry.photos > 0
  mend.href = `${entry.page}${entry.page.includes('?') ? '&' : '?'}mend=${entry.number}`
  part('again').hidden = !entry.refusal
  part('again').onclick = () => void again(entry.number)
  const sure = part('sure')
  const after = entries.filter((other) => other.held).length
  part('rests').textContent = entry.refusal && after > 0 ? say('restSentWithout') : ''
  part('drop').onclick = () => {
    sure.hidden = false
    sure.querySelector('button').focus()
  }
  sure.onreset = () => {
    sure.hidden = true
  }
  sure.onsubmit = (event) => {
    event.preventDefault()
    event.stopPropagation()
    void drop(entry.number)
  }
  return one
}
