// Will the paper still be read, and read aloud, in thirty years? What PDF/A-3 (ISO 19005-3, level A) asks, as far as a test can see it.

import { mkdirSync, writeFileSync } from 'node:fs'
import { create } from 'qrcode'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { sha256 } from '../../server/ids.ts'
import { inLanguage, say } from '../../server/words/say.ts'
import { elementsOf, type ReadPdf, rawPdf, readPdf } from '../support/pdf.ts'
import { PRINTED_CODE, printed, twoZones } from '../support/printed.ts'

const COMPANY = 'Reed & Sons <Brackwater> "Air"'
let pdf: Buffer
let signedCopy: string
let read: ReadPdf
let raw: ReturnType<typeof rawPdf>
/** Where pictures are kept to be looked at; left out, they are only measured. */
const LOOK = process.env.JOINTKEEP_TEST_PICTURES

beforeAll(async () => {
  ;({ pdf, signedCopy } = await printed(twoZones(), { company: COMPANY }))
  read = await readPdf(pdf)
  raw = rawPdf(pdf)
})
afterAll(() => read?.close())

const objects = () => [...raw.objects.values()]
const object = (reference: string | undefined) =>
  raw.objects.get(Number(/\d+/.exec(reference ?? '')?.[0])) ?? ''
const catalog = () => objects().find((one) => /\/Type \/Catalog\b/.test(one)) ?? ''
/** What the pages draw, operator by operator. */
const contents = () =>
  objects()
    .filter((one) => /\/Type \/Page\b/.test(one))
    .map((page) => raw.streams.get(Number(/\/Contents (\d+)/.exec(page)?.[1]))?.toString('latin1') ?? '')

describe('a job of two zones on paper', () => {
  it('fits two pages', () => {
    expect(read.pages).toBe(2)
  })

  it('can be selected as text: torques beside their range, tests, charge, the code and the hash of its copy', () => {
    const said = read.text.join('\n').replace(/\s+/g, ' ')
    for (const words of [
      'Certificate of refrigerant lines and joints',
      COMPANY,
      'outdoor end, liquid',
      '16.0 N·m (11.8 ft·lbf)',
      '14–18 N·m',
      'in range',
      'Pressure test of the whole system',
      'Evacuation of the whole system',
      'limit 1500 micron',
      'CO₂-equivalent',
      'Caution. The lines are under pressure.',
      'Concessions',
      'Page 1 of 2',
    ])
      expect(said, words).toContain(words)
    expect(said.replace(/[ -]/g, '')).toContain(`code:${PRINTED_CODE}`)
    expect(said.replaceAll(' ', '')).toContain(sha256(signedCopy))
  })

  it('is drawn: each page, turned into a picture, has ink on it and is not covered by it', async () => {
    for (let page = 1; page <= read.pages; page += 1) {
      const picture = await read.picture(page)
      expect(picture.width).toBeGreaterThan(700)
      expect(picture.ink, `page ${page}`).toBeGreaterThan(0.01)
      expect(picture.ink, `page ${page}`).toBeLessThan(0.2)
      if (LOOK) {
        mkdirSync(LOOK, { recursive: true })
        writeFileSync(`${LOOK}/certificate-${page}.png`, picture.png)
      }
    }
  })

  it('shows a QR code that is, module by module, the one of the public page', async () => {
    const { isDark } = await read.picture(1, 4)
    const { modules } = create(`http://jointkeep.test/verify/${PRINTED_CODE}`, { errorCorrectionLevel: 'M' })
    // In the upper right corner, 88 points wide, four modules of quiet around it.
    const [left, top, side] = [595.28 - 40 - 88, 24, 88]
    const unit = side / (modules.size + 8)
    const wrong: string[] = []
    for (let row = -3; row < modules.size + 3; row += 1)
      for (let column = -3; column < modules.size + 3; column += 1) {
        const inside = row >= 0 && column >= 0 && row < modules.size && column < modules.size
        const wanted = inside && modules.get(row, column) === 1
        if (isDark(left + (column + 4.5) * unit, top + (row + 4.5) * unit) !== wanted)
          wrong.push(`${row}/${column}`)
      }
    expect(wrong).toEqual([])
  })

  it('says so in a box when it no longer holds', async () => {
    const old = await readPdf((await printed(twoZones(), { state: 'superseded' })).pdf)
    expect(old.text[0]).toContain('SUPERSEDED')
    expect(read.text[0]).not.toContain('SUPERSEDED')
    expect(old.pages).toBe(2)
    const recalled = await readPdf((await printed(twoZones(), { state: 'recalled' })).pdf)
    expect(recalled.text[0]).toContain('UNDER RECALL')
  })
})

describe('a paper that would need a third page for a few lines', () => {
  it('is set a little smaller instead, and a longer one is not', async () => {
    const papers: { pages: number; small: boolean }[] = []
    for (let more = 0; more <= 40; more += 4) {
      const job = twoZones()
      for (let n = 0; n < more; n += 1)
        job
          .withJoint({ kind: 'brazed', place: `elbow ${n}` })
          .made()
          .brazed()
      const { objects, streams } = rawPdf((await printed(job)).pdf)
      const pages = [...objects.values()].filter((one) => /\/Type \/Page\b/.test(one)).length
      // 93 % of the 7.3 points of a table.
      papers.push({ pages, small: [...streams.values()].some((one) => one.includes(' 6.789 Tf')) })
    }
    expect(papers[0]).toEqual({ pages: 2, small: false })
    expect(papers.some(({ pages, small }) => pages === 2 && small)).toBe(true)
    expect(papers.at(-1)).toEqual({ pages: 3, small: false })
    expect(papers.every(({ pages, small }) => pages === 2 || !small)).toBe(true)
  })
})

describe('the same job signed in Spanish', () => {
  it('is printed in Spanish, says so to who listens, and fits two pages too', async () => {
    const spanish = await printed(twoZones(), { language: 'es' })
    const its = await readPdf(spanish.pdf)
    expect(its.pages).toBe(2)
    const said = its.text.join('\n').replace(/\s+/g, ' ')
    for (const words of inLanguage('es', () => [
      say.certificates.certificateOfRefrigerantLines,
      say.certificates.inShort,
      say.certificates.concessions,
      say.certificates.pageOf(1, 2),
    ]))
      expect(said, words).toContain(words)
    const itsRaw = rawPdf(spanish.pdf)
    expect([...itsRaw.objects.values()].join('\n')).toMatch(/\/Lang \(es\)/)
    expect(its.properties.get('dc:language')).toBe('es')
    if (LOOK)
      for (let page = 1; page <= 2; page += 1)
        writeFileSync(`${LOOK}/certificado-${page}.png`, (await its.picture(page)).png)
  })
})

describe('the order of reading', () => {
  const elements = () => read.tags.flatMap(elementsOf)
  const roles = () => elements().map(({ role }) => role)

  it('is marked: one title, headings without a gap between their levels, tables with heads, lists', () => {
    expect(read.marked).toBe(true)
    expect(roles().filter((role) => role === 'H1')).toHaveLength(1)
    const levels = roles()
      .flatMap((role) => /^H(\d)$/.exec(role)?.[1] ?? [])
      .map(Number)
    expect(levels.length).toBeGreaterThan(6)
    for (const [index, level] of levels.entries())
      expect(level - (levels[index - 1] ?? 0), `heading ${index}`).toBeLessThanOrEqual(1)
    for (const role of [
      'Table',
      'THead',
      'TBody',
      'TR',
      'TH',
      'TD',
      'L',
      'LI',
      'Lbl',
      'LBody',
      'Link',
      'Figure',
    ])
      expect(roles(), role).toContain(role)
  })

  it('has as many cells in each row as the table has columns', () => {
    for (const table of elements().filter(({ role }) => role === 'Table')) {
      const rows = elementsOf(table).filter(({ role }) => role === 'TR')
      const widths = new Set(rows.map((row) => row.children.length))
      expect(widths.size, JSON.stringify([...widths])).toBe(1)
    }
  })

  it('tells every drawing in words, and says where it stands', () => {
    const figures = elements().filter(({ role }) => role === 'Figure')
    // The code, two line sets, two curves.
    expect(figures).toHaveLength(5)
    for (const { alt } of figures) expect(alt?.length).toBeGreaterThan(20)
    expect(figures.map(({ alt }) => alt).join(' ')).toMatch(
      /joints A-1, A-2.*Curve of the pressure test.*Curve of the evacuation/,
    )
    expect(objects().filter((one) => /\/S \/Figure/.test(one) && /\/BBox \[/.test(one))).toHaveLength(5)
  })

  it('leaves nothing out: whatever is painted is part of an element, or marked as an ornament', () => {
    const painted = /(?:^|\s)(?:TJ|Tj|f|f\*|S|s|B|b|Do|sh)$/
    let seen = 0
    for (const content of contents()) {
      let depth = 0
      for (const line of content.split('\n')) {
        if (/ (BDC|BMC)$/.test(line)) depth += 1
        else if (line === 'EMC') depth -= 1
        else if (painted.test(line)) {
          seen += 1
          expect(depth, line.slice(0, 80)).toBeGreaterThan(0)
        }
        expect(depth).toBeLessThan(2)
      }
      expect(depth).toBe(0)
    }
    expect(seen).toBeGreaterThan(200)
  })
})

describe('the file, as an archive wants it', () => {
  it('says in its own properties what it is, by whom, and which copy belongs into it', () => {
    expect(Object.fromEntries(read.properties)).toMatchObject({
      'pdfaid:part': '3',
      'pdfaid:conformance': 'A',
      'dc:title': `Certificate ${PRINTED_CODE.match(/.{5}/g)?.join('-')}`,
      'dc:creator': [COMPANY],
      'dc:language': 'en',
      'dc:identifier': `jointkeep-certificate:${PRINTED_CODE};copy-sha256:${sha256(signedCopy)}`,
    })
    expect(catalog()).toMatch(/\/Lang \(en\)/)
    expect(object(/\/ViewerPreferences (\d+)/.exec(catalog())?.[1])).toMatch(/\/DisplayDocTitle true/)
  })

  it('says the same dates in its properties and in the older list of them', () => {
    const info = object(/\/Info (\d+)/.exec(raw.trailer)?.[1])
    for (const [name, property] of [
      ['CreationDate', 'xmp:createdate'],
      ['ModDate', 'xmp:modifydate'],
    ]) {
      const old = /\(D:(\d{14})Z\)/.exec(object(new RegExp(`/${name} (\\d+)`).exec(info)?.[1]))?.[1]
      expect(String(read.properties.get(property ?? '')).replace(/\D/g, '')).toBe(old)
    }
  })

  it('names the colours it means', () => {
    const intent = object(/\/OutputIntents \[(\d+)/.exec(catalog())?.[1])
    expect(intent).toMatch(/\/S \/GTS_PDFA1/)
    const profile = Number(/\/DestOutputProfile (\d+)/.exec(intent)?.[1])
    expect(raw.objects.get(profile)).toMatch(/\/N 3/)
    // "acsp" at byte 36 of every ICC profile (ICC.1, 7.2.9).
    expect(raw.streams.get(profile)?.subarray(36, 40).toString()).toBe('acsp')
  })

  it('carries every letter that it prints, with what it stands for', () => {
    const fonts = objects().filter((one) => /\/Type \/Font\b/.test(one) && !/\/CIDFontType/.test(one))
    expect(fonts).toHaveLength(2)
    for (const font of fonts) {
      expect(font).toMatch(/\/Subtype \/Type0/)
      expect(font).toMatch(/\/ToUnicode \d+ 0 R/)
      const descendant = object(/\/DescendantFonts \[(\d+)/.exec(font)?.[1])
      expect(descendant).toMatch(/\/CIDToGIDMap \/Identity/)
      const descriptor = object(/\/FontDescriptor (\d+)/.exec(descendant)?.[1])
      expect(descriptor).toMatch(/\/FontFile2 \d+ 0 R/)
      expect(/\/BaseFont \/([A-Z]{6})\+/.test(font)).toBe(true)
    }
    for (const content of contents())
      for (const [, shown = ''] of content.matchAll(/\[([^\]]*)\] TJ/g))
        for (const [, hex = ''] of shown.matchAll(/<([0-9a-f]+)>/g))
          for (const glyph of hex.match(/.{4}/g) ?? []) expect(glyph).not.toBe('0000')
  })

  it('holds nothing that could act, hide, or be missing later', () => {
    const all = objects().join('\n') + raw.trailer
    for (const name of [
      'Encrypt',
      'JavaScript',
      'JS',
      'Launch',
      'AA',
      'OpenAction',
      'XFA',
      'SMask',
      'Image',
      'LZWDecode',
      'Movie',
      'RichMedia',
    ])
      expect(all, name).not.toMatch(new RegExp(`/${name}\\b`))
    expect(pdf.subarray(0, 9).toString()).toBe('%PDF-1.7\n')
    expect([...pdf.subarray(10, 14)].every((byte) => byte > 127)).toBe(true)
    expect(raw.trailer).toMatch(/\/ID \[<([0-9a-f]{32})> <\1>\]/)
    for (const link of objects().filter((one) => /\/Subtype \/Link/.test(one))) {
      expect(link).toMatch(/\/F 4\b/)
      expect(link).toMatch(/\/Contents \(.+\)/)
      expect(link).toMatch(/\/StructParent \d+/)
    }
  })

  it('has the signed copy inside, byte for byte, as a file that belongs to it', () => {
    const name = `certificate-${PRINTED_CODE}.json`
    expect(Object.keys(read.attachments)).toEqual([name])
    expect(read.attachments[name]?.toString('utf8')).toBe(signedCopy)
    const specification = object(/\/AF \[(\d+) 0 R\]/.exec(catalog())?.[1])
    expect(specification).toMatch(/\/AFRelationship \/Data/)
    expect(specification).toContain(`/UF (${name})`)
    const file = object(/\/EF <<\s*\/F (\d+)/.exec(specification)?.[1])
    expect(file).toMatch(/\/Subtype \/application#2Fjose\+json/)
    expect(file).toMatch(/\/ModDate/)
  })
})
