// Which files are attached to a PDF, which copy does it name, and what do its pages say? Reads what it needs of ISO 32000, and runs nothing.
// biome-ignore lint/correctness/noUnusedVariables: the page that checks without a connection has it beside this
const pdfCopy = (() => {
  /** Of one unpacked stream: a certificate's copy has some hundred kilobytes at most. */
  const STREAM_AT_MOST = 20_000_000
  const WHITE = new Set(['\0', '\t', '\n', '\f', '\r', ' '])
  const DELIMITER = new Set(['(', ')', '<', '>', '[', ']', '{', '}', '/', '%'])

  class Unreadable extends Error {}

  const asText = (bytes) => {
    let text = ''
    for (let at = 0; at < bytes.length; at += 32_768)
      text += String.fromCharCode(...bytes.subarray(at, at + 32_768))
    return text
  }
  const asBytes = (text) => Uint8Array.from(text, (one) => one.charCodeAt(0))

  /** Names, numbers, texts, lists and dictionaries, one after another. */
  function reader(text, start = 0) {
    let at = start
    const skip = () => {
      for (;;) {
        while (WHITE.has(text[at])) at += 1
        if (text[at] !== '%') return
        while (at < text.length && text[at] !== '\n' && text[at] !== '\r') at += 1
      }
    }
    const word = () => {
      const from = at
      while (at < text.length && !WHITE.has(text[at]) && !DELIMITER.has(text[at])) at += 1
      return text.slice(from, at)
    }
    function literal() {
      let depth = 1
      let value = ''
      at += 1
      while (at < text.length) {
        let one = text[at]
        at += 1
        if (one === '\\') {
          one = text[at]
          at += 1
          const octal = /^[0-7]{1,3}/.exec(text.slice(at - 1, at + 2))?.[0]
          if (octal) {
            at += octal.length - 1
            value += String.fromCharCode(Number.parseInt(octal, 8) & 255)
          } else if (one === '\r' || one === '\n') {
            if (one === '\r' && text[at] === '\n') at += 1
          } else value += { n: '\n', r: '\r', t: '\t', b: '\b', f: '\f' }[one] ?? one
          continue
        }
        if (one === '(') depth += 1
        if (one === ')') depth -= 1
        if (depth === 0) return { string: value }
        value += one
      }
      throw new Unreadable()
    }
    function hexadecimal() {
      const end = text.indexOf('>', at)
      if (end < 0) throw new Unreadable()
      const digits = text.slice(at + 1, end).replace(/\s/g, '')
      at = end + 1
      return {
        string: asText(
          Uint8Array.from(digits.match(/..?/g) ?? [], (two) => Number.parseInt(two.padEnd(2, '0'), 16)),
        ),
      }
    }
    function value(depth = 0) {
      if (depth > 60) throw new Unreadable()
      skip()
      const one = text[at]
      if (one === undefined) return undefined
      if (one === '/') {
        at += 1
        return {
          name: word().replace(/#([0-9a-f]{2})/gi, (_all, hex) =>
            String.fromCharCode(Number.parseInt(hex, 16)),
          ),
        }
      }
      if (one === '(') return literal()
      if (one === '<' && text[at + 1] === '<') {
        at += 2
        const dictionary = new Map()
        for (;;) {
          skip()
          if (text.startsWith('>>', at)) {
            at += 2
            return { dictionary }
          }
          const key = value(depth + 1)
          if (key?.name === undefined) throw new Unreadable()
          dictionary.set(key.name, value(depth + 1))
        }
      }
      if (one === '<') return hexadecimal()
      if (one === '[') {
        at += 1
        const list = []
        for (;;) {
          skip()
          if (text[at] === ']') {
            at += 1
            return { list }
          }
          const item = value(depth + 1)
          if (item === undefined) throw new Unreadable()
          list.push(item)
        }
      }
      if (DELIMITER.has(one)) {
        at += 1
        return { operator: one }
      }
      const said = word()
      if (/^[+-]?(\d+\.?\d*|\.\d+)$/.test(said)) {
        const reference = /^\s+(\d+)\s+R(?![\w])/.exec(text.slice(at, at + 24))
        if (/^\d+$/.test(said) && reference) {
          at += reference[0].length
          return { reference: Number(said) }
        }
        return { number: Number(said) }
      }
      return { operator: said }
    }
    return {
      value,
      get at() {
        return at
      },
      set at(place) {
        at = place
      },
    }
  }

  async function inflated(bytes) {
    const unpacking = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('deflate'))
    const parts = []
    let length = 0
    const parting = unpacking.getReader()
    for (;;) {
      const { done, value } = await parting.read()
      if (done) break
      length += value.length
      if (length > STREAM_AT_MOST) throw new Unreadable()
      parts.push(value)
    }
    return new Uint8Array(await new Blob(parts).arrayBuffer())
  }

  /** Every object of the file; of one that was written again later, the later one counts. */
  async function objectsOf(text) {
    const objects = new Map()
    const trailers = []
    const starts = /(?<![\w.])(\d{1,10})\s+\d{1,5}\s+obj\b|\btrailer\b/g
    for (let found = starts.exec(text); found; found = starts.exec(text)) {
      const reading = reader(text, starts.lastIndex)
      let value
      try {
        value = reading.value()
      } catch {
        continue
      }
      if (value === undefined) break
      starts.lastIndex = Math.max(reading.at, starts.lastIndex)
      if (found[1] === undefined) {
        if (value.dictionary) trailers.push(value.dictionary)
        continue
      }
      const begins = /^\s*stream(\r\n|\n|\r)/.exec(text.slice(reading.at, reading.at + 40))
      if (begins && value.dictionary) {
        const from = reading.at + begins[0].length
        const told = value.dictionary.get('Length')?.number
        const fits = told !== undefined && /^\s*endstream/.test(text.slice(from + told, from + told + 20))
        const end = fits ? from + told : text.indexOf('endstream', from)
        if (end < 0) throw new Unreadable()
        value.raw = fits ? text.slice(from, end) : text.slice(from, end).replace(/\r?\n$/, '')
        starts.lastIndex = end
      }
      objects.set(Number(found[1]), value)
      if (value.dictionary?.get('Type')?.name === 'XRef') trailers.push(value.dictionary)
    }
    for (const packed of [...objects.values()].filter(
      (one) => one.dictionary?.get('Type')?.name === 'ObjStm',
    )) {
      const content = asText(await streamOf(packed))
      const first = packed.dictionary.get('First')?.number ?? 0
      const heads = content.slice(0, first).trim().split(/\s+/).map(Number)
      for (let n = 0; n + 1 < heads.length; n += 2)
        if (!objects.has(heads[n])) objects.set(heads[n], reader(content, first + heads[n + 1]).value())
    }
    return { objects, trailers }
  }

  async function streamOf(object) {
    if (object?.raw === undefined) throw new Unreadable()
    const filter = object.dictionary.get('Filter')
    const filters = (filter?.list ?? (filter ? [filter] : [])).map(({ name }) => name)
    const bytes = asBytes(object.raw)
    if (filters.length === 0) return bytes
    // Predictors belong to pictures and tables of places, of which nothing is needed here.
    if (filters.length > 1 || filters[0] !== 'FlateDecode' || object.dictionary.get('DecodeParms'))
      throw new Unreadable()
    return inflated(bytes)
  }

  const utf16 = (text) => {
    let said = ''
    for (let at = 0; at + 1 < text.length; at += 2)
      said += String.fromCharCode(text.charCodeAt(at) * 256 + text.charCodeAt(at + 1))
    return said
  }
  const nameIn = (text) => (text.startsWith('\u00fe\u00ff') ? utf16(text.slice(2)) : text)

  /** What each glyph stands for, by the font's own table (ToUnicode). */
  function lettersOf(table) {
    const letters = new Map()
    for (const [, part] of table.matchAll(/beginbfrange([\s\S]*?)endbfrange/g)) {
      const reading = reader(part)
      for (;;) {
        const [low, high, to] = [reading.value(), reading.value(), reading.value()]
        if (to === undefined) break
        const from = utf16(low.string).charCodeAt(0)
        const until = utf16(high.string).charCodeAt(0)
        for (let glyph = from; glyph <= until && glyph - from < 65_536; glyph += 1) {
          if (to.list) letters.set(glyph, utf16(to.list[glyph - from]?.string ?? ''))
          else {
            const first = utf16(to.string)
            letters.set(
              glyph,
              first.slice(0, -1) + String.fromCharCode(first.charCodeAt(first.length - 1) + glyph - from),
            )
          }
        }
      }
    }
    for (const [, part] of table.matchAll(/beginbfchar([\s\S]*?)endbfchar/g)) {
      const reading = reader(part)
      for (;;) {
        const [glyph, to] = [reading.value(), reading.value()]
        if (to === undefined) break
        letters.set(utf16(glyph.string).charCodeAt(0), utf16(to.string))
      }
    }
    return letters
  }

  async function read(bytes) {
    const text = asText(bytes)
    if (!text.slice(0, 1024).includes('%PDF-')) throw new Unreadable()
    const { objects, trailers } = await objectsOf(text)
    if (trailers.some((trailer) => trailer.has('Encrypt'))) throw new Unreadable()
    const resolve = (value) => (value?.reference === undefined ? value : objects.get(value.reference))
    const at = (object, key) => resolve(resolve(object)?.dictionary?.get(key))
    const roots = trailers.filter((trailer) => trailer.has('Root'))
    const catalog = resolve(roots[roots.length - 1]?.get('Root'))
    if (!catalog?.dictionary) throw new Unreadable()

    const found = new Map()
    async function take(value) {
      const specification = resolve(value)
      const file = at(specification, 'EF')?.dictionary
      const reference = file?.get('UF') ?? file?.get('F')
      if (!reference) return
      const key = reference.reference ?? found.size
      if (found.has(key)) return
      const name = at(specification, 'UF')?.string ?? at(specification, 'F')?.string ?? ''
      found.set(key, { name: nameIn(name), bytes: await streamOf(resolve(reference)) })
    }
    async function walk(node, depth) {
      if (!node || depth > 20) return
      const names = at(node, 'Names')?.list ?? []
      for (let n = 1; n < names.length; n += 2) await take(names[n])
      for (const kid of at(node, 'Kids')?.list ?? []) await walk(resolve(kid), depth + 1)
    }
    await walk(at(at(catalog, 'Names'), 'EmbeddedFiles'), 0)
    for (const specification of at(catalog, 'AF')?.list ?? []) await take(specification)

    const properties = at(catalog, 'Metadata')
    const xmp = properties?.raw === undefined ? '' : asText(await streamOf(properties))
    const named = /jointkeep-certificate:([a-z0-9]+);copy-sha256:([0-9a-f]{64})/.exec(xmp)
    return {
      attachments: [...found.values()],
      named: named ? { code: named[1], sha256: named[2] } : null,
      printed: await printedOn(at(catalog, 'Pages')).catch(() => null),
    }

    /** Page by page what the text operators show, without gaps; null where it can't be read. */
    async function printedOn(pages) {
      const said = []
      const visit = async (node, inherited, depth) => {
        if (!node?.dictionary || depth > 20) throw new Unreadable()
        const resources = at(node, 'Resources') ?? inherited
        const kids = at(node, 'Kids')?.list
        if (kids) for (const kid of kids) await visit(resolve(kid), resources, depth + 1)
        else said.push(await pageText(node, resources))
      }
      await visit(pages, undefined, 0)
      return said.join('\n')
    }
    async function pageText(page, resources) {
      const fonts = new Map()
      for (const [name, font] of at(resources, 'Font')?.dictionary ?? []) {
        const table = at(font, 'ToUnicode')
        if (table) fonts.set(name, lettersOf(asText(await streamOf(table))))
      }
      const contents = at(page, 'Contents')
      const parts = contents?.list ? contents.list.map(resolve) : [contents]
      let content = ''
      for (const part of parts) content += `${asText(await streamOf(part))}\n`
      const reading = reader(content)
      let operands = []
      let letters
      let said = ''
      const show = (string) => {
        if (!letters) throw new Unreadable()
        for (let n = 0; n + 1 < string.length; n += 2)
          said += letters.get(string.charCodeAt(n) * 256 + string.charCodeAt(n + 1)) ?? '\ufffd'
      }
      for (let value = reading.value(); value !== undefined; value = reading.value()) {
        if (value.operator === undefined) {
          operands.push(value)
          continue
        }
        if (value.operator === 'Tf') letters = fonts.get(operands[0]?.name)
        if (value.operator === 'Tj') show(operands[0]?.string ?? '')
        if (value.operator === 'TJ')
          for (const { string } of operands[0]?.list ?? []) if (string) show(string)
        if (value.operator === 'ET') said += '\n'
        operands = []
      }
      return said
    }
  }

  const isPdf = (bytes) => asText(bytes.subarray(0, 1024)).includes('%PDF-')
  return { read, isPdf }
})()
