// Is this certificate genuine? Answered by this page alone: no server, no network, the keys it came with and those you add.
/* global pdfCopy */
{
  const ALGORITHM = 'EdDSA'
  const COPY_TYPE = 'jointkeep-certificate+json'
  const FORMAT = 'jointkeep-certificate'
  const FORMAT_VERSION = 1
  /** A service takes up a new key within seconds; a day is more than any clock or restart needs. */
  const RETIRED_GRACE_MS = 24 * 3_600_000
  const FILE_AT_MOST = 30_000_000

  const dataOf = (id) => JSON.parse(document.getElementById(id).textContent)
  const words = dataOf('check-words')
  /** A sentence with its blanks filled in. */
  const say = (sentence, blanks = {}) =>
    sentence.replace(/\{(\w+)\}/g, (all, name) => String(blanks[name] ?? all))
  const counted = (count, one, many) => say(count === 1 ? one : many, { count })

  // ---- bytes and texts

  const bytesOf = (part) => {
    const text = atob(part.replace(/-/g, '+').replace(/_/g, '/'))
    return Uint8Array.from(text, (one) => one.charCodeAt(0))
  }
  const base64url = (bytes) =>
    btoa(String.fromCharCode(...bytes))
      .replace(/\+/g, '-')
      .replace(/\//g, '_')
      .replace(/=+$/, '')
  const hexOf = (buffer) =>
    [...new Uint8Array(buffer)].map((byte) => byte.toString(16).padStart(2, '0')).join('')
  const inGroups = (text, size, gap) => (text.match(new RegExp(`.{1,${size}}`, 'g')) ?? []).join(gap)
  const sha256 = async (bytes) => hexOf(await crypto.subtle.digest('SHA-256', bytes))
  const utf8 = (text) => new TextEncoder().encode(text)
  const fromUtf8 = (bytes) => new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes)

  /** Null unless it is base64url in its one proper form, without padding or stray bits (RFC 4648). */
  function partOf(text) {
    if (typeof text !== 'string' || !/^[A-Za-z0-9_-]+$/.test(text) || text.length % 4 === 1) return null
    const bytes = bytesOf(text)
    const last = base64url(bytes.subarray(bytes.length - (bytes.length % 3 || 3)))
    return text.endsWith(last) ? bytes : null
  }
  function objectOf(bytes) {
    try {
      const value = JSON.parse(fromUtf8(bytes))
      return typeof value === 'object' && value !== null && !Array.isArray(value) ? value : null
    } catch {
      return null
    }
  }

  /** RFC 8785: names in the order of their UTF-16 units, numbers and texts as ECMAScript writes them. */
  function canonical(value) {
    if (Array.isArray(value)) return `[${value.map(canonical).join(',')}]`
    if (typeof value !== 'object' || value === null) return JSON.stringify(value)
    const members = Object.keys(value).sort((a, b) => (a < b ? -1 : a > b ? 1 : 0))
    return `{${members.map((name) => `${JSON.stringify(name)}:${canonical(value[name])}`).join(',')}}`
  }

  // ---- keys

  /** Id → key: the id is worked out here, whatever the file says that it is (RFC 7638). */
  const keys = new Map()

  async function addKey({ kty, crv, x, madeAt, retiredAt }, given) {
    if (kty !== 'OKP' || crv !== 'Ed25519' || partOf(x)?.length !== 32) return false
    const thumbprint = await crypto.subtle.digest('SHA-256', utf8(JSON.stringify({ crv, kty, x })))
    const id = base64url(new Uint8Array(thumbprint))
    if (keys.has(id)) return false
    keys.set(id, { id, x, fingerprint: inGroups(hexOf(thumbprint), 8, ' '), madeAt, retiredAt, given })
    return true
  }

  async function signedBy({ x }, signature, signed) {
    const key = await crypto.subtle.importKey(
      'jwk',
      { kty: 'OKP', crv: 'Ed25519', x },
      { name: 'Ed25519' },
      false,
      ['verify'],
    )
    return crypto.subtle.verify({ name: 'Ed25519' }, key, signature, signed)
  }

  // ---- the copy

  /** A JWS in flattened JSON serialisation (RFC 7515, 7.2.2), or in the compact one. */
  function jwsOf(text) {
    const compact = text.trim().split('.')
    if (compact.length === 3) return { protected: compact[0], payload: compact[1], signature: compact[2] }
    try {
      const { payload, protected: header, signature, ...more } = JSON.parse(text)
      // An unprotected header, or anything else beside what is signed, could say what nobody vouched for.
      return Object.keys(more).length > 0 ? null : { payload, protected: header, signature }
    } catch {
      return null
    }
  }

  /** The verdict on a text; what it says is handed on only when it is genuine, so that nobody shows what was not checked. */
  async function checkCopy(text) {
    const jws = jwsOf(text)
    const parts = jws && [jws.protected, jws.payload, jws.signature].map(partOf)
    if (!parts || parts.includes(null)) return { verdict: 'unreadable' }
    const [headerBytes, payloadBytes, signature] = parts
    const header = objectOf(headerBytes)
    if (!header || header.alg !== ALGORITHM || header.typ !== COPY_TYPE || header.crit !== undefined)
      return { verdict: 'unreadable' }
    const key = keys.get(header.kid)
    if (!key) return { verdict: 'unknownKey', kid: String(header.kid) }
    if (!(await signedBy(key, signature, utf8(`${jws.protected}.${jws.payload}`))))
      return { verdict: 'altered', key }
    const payload = objectOf(payloadBytes)
    // One content has one form: a copy that says the same in other bytes was not made by this service.
    if (!payload || canonical(payload) !== fromUtf8(payloadBytes)) return { verdict: 'altered', key }
    if (payload.format !== FORMAT) return { verdict: 'unreadable' }
    if (payload.version !== FORMAT_VERSION) return { verdict: 'laterFormat' }
    if (
      key.retiredAt &&
      Date.parse(payload.certificate.issuedAt) > Date.parse(key.retiredAt) + RETIRED_GRACE_MS
    )
      return { verdict: 'afterRetirement', key }
    return { verdict: 'genuine', key, payload, sha256: await sha256(utf8(text)) }
  }

  /** A PDF: the copy inside, and whether it is the one that the paper names. */
  async function checkPdf(bytes) {
    let pdf
    try {
      pdf = await pdfCopy.read(bytes)
    } catch {
      return { verdict: 'unreadablePdf' }
    }
    const copies = []
    for (const { bytes: inside } of pdf.attachments) {
      try {
        const text = fromUtf8(inside)
        if (jwsOf(text)) copies.push(text)
      } catch {
        // Something else that somebody attached.
      }
    }
    if (copies.length === 0) return { verdict: 'noCopyInside' }
    if (copies.length > 1) return { verdict: 'severalCopies' }
    const checked = await checkCopy(copies[0])
    if (checked.verdict !== 'genuine') return { ...checked, inPdf: true }
    const { code } = checked.payload.certificate
    const { named, printed } = pdf
    if (named && (named.code !== code || named.sha256 !== checked.sha256))
      return { verdict: 'swapped', printedCode: named.code, insideCode: code }
    if (named && printed !== null) {
      const said = printed.replace(/[\s-]+/g, '')
      if (!said.includes(code) || !said.includes(checked.sha256))
        return { verdict: 'swapped', printedCode: codeIn(printed), insideCode: code }
    }
    return { ...checked, inPdf: true, belongs: named ? (printed === null ? 'named' : 'printed') : 'unnamed' }
  }
  const codeIn = (printed) =>
    /\b[a-z2-9]{5}(?:-[a-z2-9]{5}){3}\b/.exec(printed)?.[0].replaceAll('-', '') ?? ''

  async function check(bytes) {
    if (!(await canCheck())) return { verdict: 'oldBrowser' }
    if (bytes.length > FILE_AT_MOST) return { verdict: 'unreadable' }
    if (pdfCopy.isPdf(bytes)) return checkPdf(bytes)
    try {
      return await checkCopy(fromUtf8(bytes))
    } catch {
      return { verdict: 'unreadable' }
    }
  }

  let able
  /** Signatures of this kind came to the browsers between 2023 and 2025. */
  function canCheck() {
    able ??= (async () => {
      try {
        // The key and the signature of RFC 8032, 7.1, test 1: the signature of nothing at all.
        const x = '11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo'
        const signature = bytesOf(
          '5VZDAMNgrHKQhuLMgG6CioSHfx645dl02HPgZSJJAVVfuIIVkKM7rMYeOXAc-bRr0lv18FlbviRlUUFDjnoQCw',
        )
        const key = { x }
        return (
          (await signedBy(key, signature, new Uint8Array())) && !(await signedBy(key, signature, utf8('x')))
        )
      } catch {
        return false
      }
    })()
    return able
  }

  // ---- what is shown

  function make(name, attributes = {}, ...children) {
    const element = document.createElement(name)
    for (const [key, value] of Object.entries(attributes))
      if (value !== undefined) element.setAttribute(key, value)
    element.append(...children.filter((child) => child !== null && child !== undefined && child !== ''))
    return element
  }
  const day = (instant) => String(instant).slice(0, 10)
  const moment = (instant) => `${day(instant)} ${String(instant).slice(11, 16)} UTC`
  const codeWords = (code) => inGroups(code, 5, '-')
  function figure(value, decimals) {
    const text = decimals === undefined ? String(Number(value.toPrecision(4))) : value.toFixed(decimals)
    return text.replace('-', '−').replace('.', words.decimal)
  }
  const torque = (newtonMetres) =>
    `${figure(newtonMetres, 1)} N·m (${figure(newtonMetres * 0.737562149, 1)} ft·lbf)`
  const pressure = (pascals) =>
    `${(pascals / 1e6).toFixed(3).replace('.', words.decimal)} MPa (${figure(pascals / 6894.757293)} psi)`
  const vacuum = (pascals) => `${figure(pascals / 0.133322387415)} micron (${figure(pascals)} Pa)`
  const minutes = (seconds) => say(words.minutes, { count: figure(seconds / 60) })
  const leak = (kilograms) =>
    say(words.leak, {
      amount:
        kilograms >= 1
          ? `${Number(kilograms.toPrecision(2))} kg`
          : `${Number((kilograms * 1000).toPrecision(2))} g`,
    })
  const named = (list, code) => list[code] ?? String(code).replaceAll('-', ' ')

  const facts = (list) =>
    make(
      'dl',
      { class: 'facts' },
      ...list.map(([label, ...value]) => make('div', {}, make('dt', {}, label), make('dd', {}, ...value))),
    )

  function table(caption, heads, rows) {
    const head = make('tr', {}, ...heads.map((title) => make('th', { scope: 'col' }, title)))
    const body = rows.map((cells) =>
      make(
        'tr',
        {},
        ...cells.map((cell, index) =>
          index === 0 ? make('th', { scope: 'row' }, cell) : make('td', { 'data-label': heads[index] }, cell),
        ),
      ),
    )
    return make(
      'div',
      { class: 'table-scroll', tabindex: '0', role: 'group', 'aria-label': caption },
      make('table', { class: 'stack' }, make('thead', {}, head), make('tbody', {}, ...body)),
    )
  }
  const list = (items, lang) => make('ul', { lang }, ...items.map((item) => make('li', {}, ...[item].flat())))

  function placeOf({ place, line }) {
    const end = /^(outdoor|indoor)-(liquid|gas)$/.exec(place)
    if (end) return say(words.end, { end: named(words.ends, end[1]), line: named(words.lines, end[2]) })
    const said = place.replaceAll('-', ' ')
    return said.split(' ').includes(line) ? said : `${said}, ${named(words.lines, line)}`
  }
  function kindOf({ kind, origin, make: making }) {
    const of = [named(words.kinds, kind), origin === 'field' ? '' : named(words.origins, origin)]
    if (making !== null && making > 1) of.push(say(words.making, { count: making }))
    return of.filter((one) => one !== '').join(', ')
  }
  function doneTo(joint) {
    if (joint.leftOut !== null) return say(words.leftOut, { reason: joint.leftOut })
    const done = []
    if (joint.inspection) done.push(named(words.inspections, joint.inspection.outcome))
    if (joint.nitrogenFlow !== null) done.push(joint.nitrogenFlow ? words.brazed.with : words.brazed.without)
    if (joint.insertionMarked !== null)
      done.push(joint.insertionMarked ? words.pressed.marked : words.pressed.notMarked)
    if (joint.leakCheck)
      done.push(
        `${named(words.leakMethods, joint.leakCheck.method)}: ${named(words.leakResults, joint.leakCheck.result)}`,
      )
    return done.join('; ') || '–'
  }

  function testLine(test, kind, lang) {
    const parts = [test.verdict === null ? words.notConcluded : named(words.verdicts[kind], test.verdict)]
    if (kind === 'pressure' && test.start && test.end)
      parts.push(say(words.fromTo, { from: pressure(test.start.value), to: pressure(test.end.value) }))
    if (kind === 'vacuum' && test.lowest && test.rise)
      parts.push(say(words.downTo, { lowest: vacuum(test.lowest.value), rise: vacuum(test.rise.value) }))
    parts.push(say(words.held, { held: minutes(test.held.value), asked: minutes(test.requiredHold.value) }))
    if (test.smallestSeenLeak) parts.push(leak(test.smallestSeenLeak.value))
    return [`${parts.join('; ')}. `, ...test.reasons.map((reason) => make('span', { lang }, `${reason} `))]
  }

  function systemPart(system, lang) {
    const of = (covers) => (covers.length === 0 ? words.wholeSystem : covers.join(', '))
    const tests = [
      ...system.pressureTests.map((test) => [
        say(words.pressureTest, { of: of(test.covers), day: day(test.at) }),
        ...testLine(test, 'pressure', lang),
      ]),
      ...system.evacuations.map((test) => [
        say(words.evacuation, { of: of(test.covers), day: day(test.at) }),
        ...testLine(test, 'vacuum', lang),
      ]),
    ]
    return [
      make('h3', {}, `${system.name}, ${system.refrigerant}`),
      facts([
        ...system.units.map((unit) => [named(words.roles, unit.role), say(words.unit, unit)]),
        ...tests,
        [
          words.charge,
          system.charge.reason ? make('span', { lang }, system.charge.reason) : words.notRecorded,
        ],
        ...system.runningChecks.map((one) => [words.running, make('span', { lang }, one.reason)]),
      ]),
      table(
        say(words.jointsOf, { system: system.name }),
        words.jointHeads,
        system.joints.map((joint) => [
          joint.tag,
          placeOf(joint),
          kindOf(joint),
          joint.tubeSize,
          joint.torque?.applied ? torque(joint.torque.applied.value) : '–',
          joint.torque?.range
            ? `${figure(joint.torque.range.low)}–${figure(joint.torque.range.high)} N·m`
            : '–',
          joint.torque ? named(words.verdicts.torque, joint.torque.verdict) : '–',
          doneTo(joint),
        ]),
      ),
    ]
  }

  function contentOf({ payload, key, sha256: hash }) {
    const { certificate, company, place, job, signedOff } = payload
    // What was signed keeps the language that it was signed in, whatever this page speaks.
    const lang = payload.language ?? 'en'
    const asked = payload.requirements.filter(({ met, conceded, notMet }) => met + conceded + notMet > 0)
    return [
      make('h2', {}, words.whatItSays),
      make('p', {}, words.compare),
      facts([
        [
          words.code,
          make('b', {}, codeWords(certificate.code)),
          ` ${say(words.revision, { count: certificate.revision })}`,
        ],
        [words.company, company.name],
        [words.town, place.town],
        [words.work, named(words.jobs, job.kind)],
        [words.signedOff, moment(signedOff.at), signedOff.ownWork ? ` ${words.ownWork}` : ''],
        [words.issued, moment(certificate.issuedAt)],
      ]),
      ...payload.systems.flatMap((system) => systemPart(system, lang)),
      ...(payload.repeated.length === 0
        ? []
        : [
            make('h3', {}, words.repeatedTitle),
            list(
              payload.repeated.map((repeat) => {
                const kind = repeat.kind === 'pressure' ? 'pressure' : 'vacuum'
                const verdicts = repeat.verdicts.map((one) => named(words.verdicts[kind], one)).join(', ')
                return say(words.repeats[kind], {
                  count: repeat.tests,
                  verdicts,
                  causes: repeat.causes.join('; ') || '–',
                })
              }),
            ),
          ]),
      make('h3', {}, words.askedTitle),
      list(
        asked.map((one) => {
          const answers = [
            one.met > 0 ? say(words.answers.met, { count: one.met }) : '',
            one.conceded > 0 ? say(words.answers.conceded, { count: one.conceded }) : '',
            one.notMet > 0 ? say(words.answers.notMet, { count: one.notMet }) : '',
          ]
          return [
            make('span', { lang }, one.title),
            `: ${answers.filter((answer) => answer !== '').join(', ')}`,
          ]
        }),
      ),
      make('h3', {}, words.concessionsTitle),
      payload.concessions.length === 0
        ? make('p', {}, words.none)
        : list(
            payload.concessions.map((one) =>
              say(words.concession, {
                title: one.title,
                subject: one.subject.name,
                day: day(one.at),
                reason: one.reason,
              }),
            ),
          ),
      make('h3', {}, words.looserTitle),
      payload.criteria.looserThanBuiltIn.length === 0
        ? make('p', {}, words.none)
        : list(payload.criteria.looserThanBuiltIn, lang),
      make('h3', {}, words.statementsTitle),
      list(payload.statements, lang),
      make('h3', {}, words.digestsTitle),
      facts([
        [words.copyHash, make('code', {}, inGroups(hash, 8, ' '))],
        [words.keyFingerprint, make('code', {}, key.fingerprint)],
        ...payload.record.heads.map((head) => [
          say(words.head, { chain: head.chainId, count: head.number }),
          make('code', {}, head.hash),
        ]),
      ]),
    ]
  }

  const LOOKS = {
    genuine: 'done',
    unknownKey: 'needs-you',
    noCopyInside: 'needs-you',
    oldBrowser: 'needs-you',
    laterFormat: 'needs-you',
  }

  function verdictPart(answer, name) {
    const said = words.outcomes[answer.verdict]
    const look = LOOKS[answer.verdict] ?? 'refused'
    const blanks = {
      name,
      printed: codeWords(answer.printedCode ?? ''),
      inside: codeWords(answer.insideCode ?? ''),
      since: day(answer.key?.retiredAt ?? ''),
    }
    const parts = [
      make('h2', { id: 'verdict', tabindex: '-1' }, say(words.verdictOn, { name })),
      make(
        'div',
        { class: `flash flash-${look}`, 'data-verdict': answer.verdict },
        make('p', {}, make('strong', {}, said.lead), ` ${say(said.words, blanks)}`),
      ),
      make('p', {}, say(said.next, blanks)),
    ]
    if (answer.verdict === 'unknownKey')
      parts.push(facts([[words.keyItNames, make('code', {}, printable(answer.kid))]]))
    if (answer.verdict !== 'genuine') return parts
    const { key, payload } = answer
    parts.push(
      facts([
        [
          words.signedWith,
          make('code', {}, key.fingerprint),
          ` ${key.given === 'added' ? words.keyAdded : words.keyCameWith}`,
        ],
        ...(key.retiredAt ? [[words.keyPutAway, day(key.retiredAt)]] : []),
      ]),
      make('p', {}, words.compareKey),
    )
    if (answer.inPdf) parts.push(make('p', { 'data-belongs': answer.belongs }, words.belongs[answer.belongs]))
    parts.push(
      make('h3', {}, words.cannotKnowTitle),
      make('p', {}, words.cannotKnow),
      make(
        'p',
        {},
        make(
          'a',
          { href: webAddress(payload.certificate.verifyAt), rel: 'noreferrer' },
          payload.certificate.verifyAt,
        ),
      ),
      ...contentOf(answer),
    )
    return parts
  }
  /** Thumbprints as they are printed on paper; anything else is no thumbprint, and shown as it came, cut short. */
  const printable = (kid) =>
    partOf(kid)?.length === 32 ? inGroups(hexOf(partOf(kid)), 8, ' ') : kid.slice(0, 60)
  const webAddress = (address) => (/^https?:\/\//.test(address) ? address : undefined)

  const place = (id) => document.getElementById(id)

  /** Of the last file only: one that takes longer must not put its answer in the place of a later one. */
  let asked = 0
  async function answer(bytes, name) {
    asked += 1
    const mine = asked
    place('answer').replaceChildren(make('p', {}, words.working))
    const found = await check(bytes).catch(() => ({ verdict: 'unreadable' }))
    if (mine !== asked) return
    place('answer').replaceChildren(...verdictPart(found, name))
    place('verdict').focus()
  }

  function showKeys() {
    place('known-keys').replaceChildren(
      ...[...keys.values()].map((key) => {
        const since = key.retiredAt ? say(words.keyUntil, { day: day(key.retiredAt) }) : ''
        return make(
          'li',
          {},
          make('code', {}, key.fingerprint),
          ` ${key.given === 'added' ? words.keyAdded : words.keyCameWith} ${since}`,
        )
      }),
    )
  }

  async function takeKeys(file) {
    let added = 0
    try {
      const set = JSON.parse(fromUtf8(new Uint8Array(await file.arrayBuffer())))
      for (const key of Array.isArray(set.keys) ? set.keys : [set]) if (await addKey(key, 'added')) added += 1
    } catch {
      added = 0
    }
    place('keys-answer').textContent =
      added === 0 ? words.noKeys : counted(added, words.oneKeyAdded, words.keysAdded)
    showKeys()
  }

  async function takeFile(file) {
    if (file) await answer(new Uint8Array(await file.arrayBuffer()), file.name)
  }

  place('file').addEventListener('change', ({ target }) => takeFile(target.files[0]))
  place('keys-file').addEventListener('change', ({ target }) => target.files[0] && takeKeys(target.files[0]))
  place('pasted').addEventListener('submit', (event) => {
    event.preventDefault()
    answer(utf8(place('pasted-copy').value.trim()), words.pastedName)
  })
  document.addEventListener('dragover', (event) => event.preventDefault())
  document.addEventListener('drop', (event) => {
    event.preventDefault()
    takeFile(event.dataTransfer?.files[0])
  })

  ;(async () => {
    place('needs-script').remove()
    place('check').hidden = false
    if (!(await canCheck())) {
      place('answer').replaceChildren(...verdictPart({ verdict: 'oldBrowser' }, ''))
      return
    }
    for (const key of dataOf('check-keys').keys) await addKey(key, 'came')
    showKeys()
    document.documentElement.dataset.ready = 'yes'
  })()
}
