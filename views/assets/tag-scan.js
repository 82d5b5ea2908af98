// How does the camera read a tag on a pipe? A button beside the field, where this browser can; the field works without.

const { say } = window.jointkeep
const EVERY_MS = 200
/** Nobody holds a phone to a pipe longer than this; a forgotten camera empties its battery. */
const LONGEST_MS = 60_000

let running = null

function stop() {
  if (!running) return
  const { stream, timer, box, button } = running
  running = null
  clearTimeout(timer)
  for (const track of stream?.getTracks() ?? []) track.stop()
  box.remove()
  button.hidden = false
}

/** The address of a printed tag of this server, or a tag as it is written; null for anything else. */
function meaning(text) {
  if (/^[A-Za-z0-9]{1,8}[ -]?\d{1,6}$/.test(text.trim())) return { tag: text.trim() }
  if (!URL.canParse(text)) return null
  const { origin, pathname } = new URL(text)
  return origin === location.origin && /^\/t\/[^/]+\/[^/]+$/.test(pathname) ? { path: pathname } : null
}

function follow(form, meant) {
  stop()
  if (meant.tag) {
    form.querySelector('input[name=tag]').value = meant.tag
    form.requestSubmit()
    return
  }
  const job = form.querySelector('input[name=job]')?.value
  location.assign(job ? `${meant.path}?job=${encodeURIComponent(job)}` : meant.path)
}

async function scan(form, button) {
  stop()
  const box = document.createElement('div')
  box.className = 'scan'
  const video = document.createElement('video')
  video.muted = true
  video.playsInline = true
  video.setAttribute('aria-label', say('whatCameraSees'))
  const said = document.createElement('p')
  said.setAttribute('role', 'status')
  said.textContent = say('holdCamera')
  const close = document.createElement('button')
  close.type = 'button'
  close.textContent = say('stopCamera')
  close.addEventListener('click', () => {
    stop()
    button.focus()
  })
  box.append(video, said, close)
  form.append(box)
  button.hidden = true
  running = { stream: null, timer: 0, box, button }
  const mine = running
  let stream
  try {
    stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: 'environment' }, audio: false })
  } catch {
    if (running === mine) {
      video.remove()
      close.textContent = say('close')
      said.textContent = say('cameraNotGiven')
    }
    return
  }
  if (running !== mine) {
    for (const track of stream.getTracks()) track.stop()
    return
  }
  mine.stream = stream
  video.srcObject = stream
  // Where it may not play by itself, the codes are read all the same.
  video.play().catch(() => {})
  const detector = new window.BarcodeDetector({ formats: ['qr_code'] })
  const until = Date.now() + LONGEST_MS
  const look = async () => {
    if (running !== mine) return
    if (!box.isConnected || Date.now() > until) return stop()
    const found = await detector.detect(video).catch(() => [])
    if (running !== mine) return
    for (const { rawValue } of found) {
      const meant = meaning(rawValue)
      if (meant) return follow(form, meant)
      said.textContent = say('noTagOfThisServer')
    }
    mine.timer = setTimeout(look, EVERY_MS)
  }
  look()
}

function offer() {
  for (const form of document.querySelectorAll('form[data-tag-scan]')) {
    if (form.dataset.tagScan === 'offered') continue
    form.dataset.tagScan = 'offered'
    const button = document.createElement('button')
    button.type = 'button'
    button.textContent = 'Scan'
    button.addEventListener('click', () => scan(form, button))
    form.querySelector('.tag-line')?.append(button)
  }
}

async function reads() {
  const formats = await window.BarcodeDetector?.getSupportedFormats().catch(() => [])
  return formats?.includes('qr_code') && typeof navigator.mediaDevices?.getUserMedia === 'function'
}

if (await reads()) {
  offer()
  document.addEventListener('htmx:after:swap', () => {
    if (running && !running.box.isConnected) stop()
    offer()
  })
  document.addEventListener('visibilitychange', () => {
    if (document.hidden) stop()
  })
  window.addEventListener('pagehide', stop)
}
