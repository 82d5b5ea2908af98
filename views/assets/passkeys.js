// How does a page ask the browser for a passkey? It asks the server first, then the browser, and posts what came back.

const { say } = window.jointkeep

// ---- what the wire has as text the browser wants as bytes; newer ones turn it over by themselves
const bytes = (text) =>
  Uint8Array.from(atob(text.replaceAll('-', '+').replaceAll('_', '/')), (sign) => sign.charCodeAt(0))
const text = (buffer) =>
  btoa(String.fromCharCode(...new Uint8Array(buffer)))
    .replaceAll('+', '-')
    .replaceAll('/', '_')
    .replaceAll('=', '')
const listed = (all = []) => all.map((one) => ({ ...one, id: bytes(one.id) }))

function toMake(options) {
  if (PublicKeyCredential.parseCreationOptionsFromJSON)
    return PublicKeyCredential.parseCreationOptionsFromJSON(options)
  return {
    ...options,
    challenge: bytes(options.challenge),
    user: { ...options.user, id: bytes(options.user.id) },
    excludeCredentials: listed(options.excludeCredentials),
  }
}

function toAsk(options) {
  if (PublicKeyCredential.parseRequestOptionsFromJSON)
    return PublicKeyCredential.parseRequestOptionsFromJSON(options)
  return {
    ...options,
    challenge: bytes(options.challenge),
    allowCredentials: listed(options.allowCredentials),
  }
}

/** Field by field, as the form sends it. Only what the server looks at. */
function fieldsOf({ id, response }) {
  const parts = ['clientDataJSON', 'attestationObject', 'authenticatorData', 'signature', 'userHandle']
  // A new one says the same inside of what it is attested by.
  const left = response.attestationObject ? ['authenticatorData'] : []
  const fields = [['credential.id', id]]
  for (const part of parts)
    if (response[part] && !left.includes(part))
      fields.push([`credential.response.${part}`, text(response[part])])
  const transports = response.getTransports?.() ?? []
  if (transports.length > 0) fields.push(['credential.response.transports', transports.join(',')])
  return fields
}

/** What the server says to begin with; what it refuses is thrown in its own words. */
async function begin(path, body) {
  const answer = await fetch(path, {
    method: 'POST',
    headers: { 'content-type': 'application/json', accept: 'application/json' },
    body: JSON.stringify(body),
  }).catch(() => null)
  const said = await answer?.json().catch(() => null)
  if (!said) throw new Refused(say('serverDidNotAnswer'))
  if (!answer.ok) throw new Refused(said.errors?.[0]?.message ?? said.detail)
  return said
}

class Refused extends Error {}

function wordsOf(problem) {
  if (problem instanceof Refused) return problem.message
  if (problem.name === 'NotAllowedError' || problem.name === 'AbortError') return say('passkeyStopped')
  if (problem.name === 'InvalidStateError') return say('passkeyThere')
  return say('passkeyNotDone')
}

async function answerFor(form) {
  if (form.dataset.passkey === 'make') {
    const { value } = form.elements.namedItem('password')
    const { step, options } = await begin('/api/v1/me/passkeys/begin', { password: value })
    return [step, await navigator.credentials.create({ publicKey: toMake(options) })]
  }
  const waiting = form.elements.namedItem('step').value
  const { step, options } = await begin('/api/v1/session/passkey/begin', waiting ? { step: waiting } : {})
  return [step, await navigator.credentials.get({ publicKey: toAsk(options) })]
}

async function go(form) {
  const button = form.querySelector('button')
  const said = form.querySelector('[data-passkey-said]')
  said.hidden = true
  button.disabled = true
  try {
    const [step, credential] = await answerFor(form)
    form.elements.namedItem('step').value = step
    for (const [name, value] of fieldsOf(credential)) {
      const field = document.createElement('input')
      field.type = 'hidden'
      field.name = name
      field.value = value
      form.append(field)
    }
    // It was looked at with the question, and does not travel twice.
    const password = form.elements.namedItem('password')
    if (password) password.disabled = true
    form.submit()
  } catch (problem) {
    said.textContent = wordsOf(problem)
    said.hidden = false
    button.disabled = false
    button.focus()
  }
}

/** Shows what this browser can do, and lets it be done. */
export function prepare() {
  const can = 'PublicKeyCredential' in window && navigator.credentials !== undefined
  for (const note of document.querySelectorAll('[data-no-passkeys]')) note.hidden = can
  if (!can) return
  for (const form of document.querySelectorAll('form[data-passkey][hidden]')) {
    form.hidden = false
    form.addEventListener('submit', (event) => {
      event.preventDefault()
      go(form)
    })
  }
}
