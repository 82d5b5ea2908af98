// How does a photo get from the phone to the server? Made small on the phone, sent as soon as it is chosen, and shown.

const { say } = window.jointkeep

/** As the server keeps them; more would only be thrown away there. */
const LONGEST_SIDE = 2400
/** A small enough picture goes as it is: the server reads from it when it was taken. */
const SMALL_ENOUGH = 1_500_000

/** What waits to be sent again, by its form: the very same bytes, so that a repeat is known for one. */
const chosen = new WeakMap()

const sectionOf = (form) => form.closest('.photos')

function tell(form, words, isWrong = false) {
  const line = sectionOf(form)?.querySelector('.photo-said')
  if (!line) return
  line.textContent = words
  line.classList.toggle('message', isWrong)
}

async function small(file) {
  try {
    const bitmap = await createImageBitmap(file, { imageOrientation: 'from-image' })
    const scale = Math.min(1, LONGEST_SIDE / Math.max(bitmap.width, bitmap.height))
    if (scale === 1 && file.size <= SMALL_ENOUGH && file.type === 'image/jpeg') {
      bitmap.close()
      return file
    }
    const canvas = document.createElement('canvas')
    canvas.width = Math.round(bitmap.width * scale)
    canvas.height = Math.round(bitmap.height * scale)
    canvas.getContext('2d').drawImage(bitmap, 0, 0, canvas.width, canvas.height)
    bitmap.close()
    return (await new Promise((done) => canvas.toBlob(done, 'image/jpeg', 0.88))) ?? file
  } catch {
    // What this browser can't open, the server may; or it says why not.
    return file
  }
}

const fileIn = (form) =>
  [...form.querySelectorAll('input[type=file]')].map((input) => input.files?.[0]).find(Boolean)

async function take(form, file) {
  if (form.dataset.sending) return
  form.dataset.sending = 'yes'
  tell(form, say('makingItSmall'))
  const photo = { blob: await small(file), takenAt: Math.min(file.lastModified || Date.now(), Date.now()) }
  chosen.set(form, photo)
  delete form.dataset.sending
  send(form)
}

function send(form) {
  const photo = chosen.get(form)
  if (!photo || form.dataset.sending) return
  form.dataset.sending = 'yes'
  const body = new FormData(form)
  body.delete('picture')
  if (!body.has('takenAt')) body.append('takenAt', new Date(photo.takenAt).toISOString())
  // Last, so that the rest is known even when the connection breaks in the middle of it.
  body.append('picture', photo.blob, 'photo.jpg')
  const bar = form.querySelector('.photo-progress')
  const request = new XMLHttpRequest()
  request.open('POST', '/api/v1/photos')
  request.setRequestHeader('accept', 'application/json')
  request.setRequestHeader('device-time', new Date().toISOString())
  const { member } = document.getElementById('waiting')?.dataset ?? {}
  if (member) request.setRequestHeader('as-member', member)
  request.upload.addEventListener('progress', (event) => {
    if (!bar || !event.lengthComputable) return
    bar.value = Math.round((100 * event.loaded) / event.total)
  })
  const ended = (words, isWrong) => {
    delete form.dataset.sending
    if (bar) bar.hidden = true
    tell(form, words, isWrong)
  }
  request.addEventListener('error', () => ended(say('photoStillHere'), true))
  request.addEventListener('load', () => {
    if (request.status === 200 || request.status === 201) {
      chosen.delete(form)
      ended(say('photoAdded'), false)
      void show(form)
    } else if (request.status === 202) {
      // Taken by this phone's own outbox, which sends it when the network is back.
      chosen.delete(form)
      form.dispatchEvent(new CustomEvent('jointkeep:kept', { bubbles: true }))
      ended(say('photoWaits'), false)
    } else ended(reasonOf(request), true)
  })
  if (bar) {
    bar.value = 0
    bar.hidden = false
  }
  tell(form, say('sendingPhoto'))
  request.send(body)
}

function reasonOf(request) {
  if (request.status === 401) return say('photoSignedOut')
  try {
    return JSON.parse(request.responseText).detail
  } catch {
    return say('photoNotTaken')
  }
}

/** The section as the server now has it; nothing else on the page is touched, least of all what was typed. */
async function show(form) {
  if (form.dataset.photo) {
    location.assign(form.dataset.photo)
    return
  }
  const section = sectionOf(form)
  if (!section) return
  try {
    const answer = await fetch(section.dataset.photos ?? location.href, { headers: { accept: 'text/html' } })
    const page = new DOMParser().parseFromString(await answer.text(), 'text/html')
    const fresh = answer.ok ? page.getElementById(section.id) : null
    if (!fresh) return
    const hadFocus = section.contains(document.activeElement)
    section.replaceWith(fresh)
    const title = fresh.querySelector('h2')
    if (hadFocus && title) {
      title.tabIndex = -1
      title.focus({ preventScroll: true })
    }
    const line = fresh.querySelector('.photo-said')
    if (line) line.textContent = say('photoAdded')
  } catch {
    // It is kept all the same; the page shows it when it is next opened.
  }
}

document.addEventListener('change', (event) => {
  const form = event.target.type === 'file' ? event.target.closest('form[data-photo]') : null
  const file = event.target.files?.[0]
  if (form && file) void take(form, file)
})

document.addEventListener(
  'submit',
  (event) => {
    const form = event.target
    if (!form.matches?.('form[data-photo]')) return
    event.preventDefault()
    event.stopPropagation()
    const file = fileIn(form)
    if (chosen.has(form)) send(form)
    else if (file) void take(form, file)
    else tell(form, say('choosePhotoFirst'), true)
  },
  true,
)

/** From a desk: a picture dropped on the place where it belongs. */
const dropPlace = (event) => event.target.closest?.('.photo-slot')?.querySelector('form[data-photo]')
document.addEventListener('dragover', (event) => {
  const form = dropPlace(event)
  if (!form || !event.dataTransfer?.types.includes('Files')) return
  event.preventDefault()
  form.closest('.photo-slot').classList.add('photo-over')
})
document.addEventListener('dragleave', (event) => {
  event.target.closest?.('.photo-slot')?.classList.remove('photo-over')
})
document.addEventListener('drop', (event) => {
  const form = dropPlace(event)
  if (!form) return
  event.preventDefault()
  form.closest('.photo-slot').classList.remove('photo-over')
  const file = [...(event.dataTransfer?.files ?? [])].find((one) => one.type.startsWith('image/'))
  if (file) void take(form, file)
  else tell(form, say('noPicture'), true)
})

// Chosen while this script was still on its way.
for (const form of document.querySelectorAll('form[data-photo]')) {
  const file = fileIn(form)
  if (file) void take(form, file)
}
