// How is a page of paper filled from top to bottom? Texts, tables and drawings, each with its place in the order of reading.

import type { PaperFonts } from './pdf-fonts.ts'
import { pdfText } from './pdf-text.ts'

type Document = PDFKit.PDFDocument
type Element = PDFKit.PDFStructureElement

export interface Column {
  title: string
  bold?: boolean
}

interface TextStyle {
  size?: number
  width?: number
  bold?: boolean
  soft?: boolean
}

export interface Lane {
  label: string
  thick: boolean
  marks: { tag: string; at: number; filled: boolean }[]
}

export interface Pipes {
  from: string
  to: string
  between: string
  lanes: Lane[]
  /** The same in a sentence, for who does not see it. */
  alt: string
}

export interface Plot {
  title: string
  /** Below the drawing: what it comes to. */
  caption: string
  /** The same in a sentence, for who does not see it. */
  alt: string
  xLabel: string
  yLabel: string
  x: [number, number]
  y: [number, number]
  xTicks: [number, string][]
  yTicks: [number, string][]
  /** An area between two edges, such as what the temperature alone would have made. */
  band?: { label: string; points: { x: number; low: number; high: number }[] } | undefined
  /** Criteria: lines right across. */
  lines: { label: string; y: number }[]
  curve?: { label: string; points: { x: number; y: number }[] } | undefined
  readings: { x: number; y: number }[]
}

const INK = '#1c1a17'
const SOFT = '#55504a'
const COPPER = '#8a4415'
const HAIR = '#b9b2a6'
const BAND = '#efe2d3'

const TEXT_SIZE = 8.4
const TABLE_SIZE = 7.3
/** Of the size: the font leaves more between its lines than a page of figures needs. */
const CLOSER = -0.17
/** More than the closer setting takes off the largest letters that can stand at the foot of a page. */
const BEFORE_ITS_OWN_BREAK = 4
/** Of a cell; what is longer stands whole in the signed copy. */
const CELL_AT_MOST = 600

export class Paper {
  readonly left: number
  readonly right: number
  private readonly document: Document
  private readonly fonts: PaperFonts
  private readonly root: Element
  private within: Element
  private readonly textSize: number
  private readonly tableSize: number

  /** `scale`: of running text and tables, for a paper that would need another page for a few lines. */
  constructor(document: Document, fonts: PaperFonts, scale = 1) {
    this.textSize = TEXT_SIZE * scale
    this.tableSize = TABLE_SIZE * scale
    this.document = document
    this.fonts = fonts
    document.registerFont('regular', fonts.regular)
    document.registerFont('bold', fonts.bold)
    document.addPage()
    this.left = document.page.margins.left
    this.right = document.page.width - document.page.margins.right
    this.root = document.struct('Document')
    document.addStructure(this.root)
    this.within = this.root
  }

  get y(): number {
    return this.document.y
  }
  set y(y: number) {
    this.document.y = y
  }
  private get bottom(): number {
    const { page } = this.document
    // pdfkit begins a page of its own where a line of the font's full height would not fit; ours are set closer.
    return page.height - page.margins.bottom - BEFORE_ITS_OWN_BREAK
  }
  private get width(): number {
    return this.right - this.left
  }

  gap(height: number): void {
    this.document.y += height
  }

  /** Begins a new page unless this much still fits on this one. */
  room(height: number): boolean {
    if (this.document.y + height <= this.bottom) return false
    this.document.addPage()
    return true
  }

  private font(size: number, bold = false): Document {
    return this.document.font(bold ? 'bold' : 'regular').fontSize(size)
  }

  private print(words: string): string {
    return pdfText(words, this.fonts.has)
  }

  /** What `draw` puts on the paper is one element of the document, read in the order in which it was drawn. */
  private element(type: string, draw: () => void, options: Record<string, unknown> = {}): void {
    const element = this.document.struct(type, options)
    this.within.add(element)
    element.add(draw)
    element.end()
  }

  /** Elements that `fill` makes stand inside this one. */
  private group(type: string, fill: () => void): void {
    const element = this.document.struct(type)
    const outside = this.within
    outside.add(element)
    this.within = element
    fill()
    this.within = outside
    element.end()
  }

  /** Lines and the like, which mean nothing to who listens. */
  private ornament(draw: () => void, type: 'Layout' | 'Pagination' = 'Layout'): void {
    this.document.markContent('Artifact', { type })
    draw()
    this.document.endMarkedContent()
  }

  private line(words: string, x: number, y: number, size: number, options: object = {}, bold = false): void {
    this.font(size, bold)
    this.document.text(words, x, y, { lineBreak: false, ...options })
  }

  private paragraph(type: string, words: string, style: TextStyle = {}, x = this.left): void {
    const printed = this.print(words)
    const size = style.size ?? this.textSize
    const options = { width: style.width ?? this.right - x, lineGap: size * CLOSER }
    this.font(size, style.bold)
    this.room(Math.min(this.document.heightOfString(printed, options), size * 4))
    this.element(type, () => {
      this.font(size, style.bold)
      this.document.fillColor(style.soft ? SOFT : INK).text(printed, x, this.document.y, options)
    })
    this.document.x = this.left
  }

  text(words: string, style: TextStyle = {}): void {
    this.paragraph('P', words, style)
  }

  title(words: string, width: number): void {
    this.paragraph('H1', words, { size: 19, bold: true, width })
  }

  section(title: string): void {
    this.gap(7)
    this.room(80)
    const { document } = this
    this.ornament(() =>
      document
        .moveTo(this.left, document.y)
        .lineTo(this.right, document.y)
        .lineWidth(1.2)
        .strokeColor(COPPER)
        .stroke(),
    )
    this.gap(3)
    this.paragraph('H2', title, { size: 12, bold: true })
    this.gap(2)
  }

  subsection(title: string, below = 60): void {
    this.gap(4)
    this.room(below)
    this.paragraph('H3', title, { size: 9.2, bold: true })
    this.gap(1)
  }

  /** One paragraph that leads somewhere. */
  link(words: string, address: string, style: TextStyle = {}): void {
    const printed = this.print(words)
    const size = style.size ?? this.textSize
    this.font(size)
    const y = this.document.y
    const width = Math.min(style.width ?? this.width, this.document.widthOfString(printed))
    this.group('P', () => {
      const element = this.document.struct('Link')
      this.within.add(element)
      element.add(() => {
        this.font(size)
        this.document.fillColor(COPPER).text(printed, this.left, y, { width: style.width ?? this.width })
      })
      this.document.link(this.left, y, width, this.document.y - y, address, {
        structParent: element,
        Contents: new String(printed),
      } as object)
      element.end()
    })
    this.document.x = this.left
  }

  /** Something that must not be overlooked. */
  box(words: string, lead?: string): void {
    const width = this.width - 16
    const size = 9
    const printed = this.print(words)
    const said = lead === undefined ? '' : `${this.print(lead)} `
    this.font(size, true)
    const lineGap = size * CLOSER
    const height = this.document.heightOfString(said + printed, { width, lineGap }) + 9
    this.room(height)
    const top = this.document.y
    this.ornament(() =>
      this.document.rect(this.left, top, this.width, height).lineWidth(1.4).strokeColor(INK).stroke(),
    )
    this.element('P', () => {
      this.document.fillColor(INK)
      if (said !== '')
        this.font(size, true).text(said, this.left + 8, top + 4, { width, lineGap, continued: true })
      else this.document.text('', this.left + 8, top + 4, { width, lineGap, continued: true })
      this.font(size, said === '').text(printed, { width, lineGap })
    })
    this.document.x = this.left
    this.document.y = top + height + 2
  }

  list(items: readonly string[], style: TextStyle = {}): void {
    const size = style.size ?? this.textSize
    this.group('L', () => {
      for (const item of items) {
        const printed = this.print(item)
        const options = { width: this.width - 9, lineGap: size * CLOSER }
        this.font(size)
        this.room(Math.min(this.document.heightOfString(printed, options), size * 4))
        const y = this.document.y
        this.group('LI', () => {
          this.element('Lbl', () => {
            this.font(size).fillColor(COPPER).text('•', this.left, y, { lineBreak: false })
          })
          this.element('LBody', () => {
            this.font(size)
              .fillColor(style.soft ? SOFT : INK)
              .text(printed, this.left + 9, y, options)
          })
        })
      }
    })
    this.document.x = this.left
  }

  facts(facts: readonly (readonly [string, string])[], label = 76): void {
    const size = this.textSize
    const options = { width: this.width - label, lineGap: size * CLOSER }
    this.group('L', () => {
      for (const [name, value] of facts) {
        const printed = this.print(value)
        const named = this.print(name)
        this.font(size)
        const height = this.document.heightOfString(printed, options)
        this.room(Math.min(height, size * 6))
        const top = this.document.y
        let below = top
        this.group('LI', () => {
          this.element('Lbl', () => {
            this.font(size, true)
              .fillColor(INK)
              .text(named, this.left, top, { width: label - 6, lineGap: size * CLOSER })
            below = this.document.y
          })
          this.element('LBody', () => {
            this.font(size)
              .fillColor(INK)
              .text(printed, this.left + label, top, options)
          })
        })
        this.document.y = Math.max(this.document.y, below) + 0.8
      }
    })
    this.document.x = this.left
  }

  table(columns: readonly Column[], rows: readonly (readonly string[])[]): void {
    if (rows.length === 0) return
    const inner = 5
    const isBold = (index: number, head: boolean) => head || columns[index]?.bold === true
    const titles = columns.map((column) => this.print(column.title))
    const printed = rows.map((row) => row.map((cell) => this.print(clipped(cell))))
    const lengthOf = (cell: string, index: number, head: boolean) =>
      this.font(this.tableSize, isBold(index, head)).widthOfString(cell) + inner + 1
    const widths = sharedOut(
      this.width,
      columns.map((_column, index) =>
        Math.max(
          lengthOf(titles[index] ?? '', index, true),
          ...printed.map((cells) => lengthOf(cells[index] ?? '', index, false)),
        ),
      ),
    )
    const heightOf = (cells: readonly string[], head: boolean) =>
      Math.max(
        ...cells.map((cell, index) => {
          this.font(this.tableSize, isBold(index, head))
          return this.document.heightOfString(cell, {
            width: (widths[index] ?? 0) - inner,
            lineGap: this.tableSize * CLOSER,
          })
        }),
      ) + 2
    const drawCells = (
      cells: readonly string[],
      head: boolean,
      each: (type: 'TH' | 'TD', draw: () => void, index: number) => void,
    ) => {
      const top = this.document.y
      const height = heightOf(cells, head)
      let x = this.left
      for (const [index, cell] of cells.entries()) {
        const at = x
        each(
          isBold(index, head) ? 'TH' : 'TD',
          () => {
            this.font(this.tableSize, isBold(index, head))
              .fillColor(head ? SOFT : INK)
              .text(cell, at, top + 1.2, {
                width: (widths[index] ?? 0) - inner,
                lineGap: this.tableSize * CLOSER,
              })
          },
          index,
        )
        x += widths[index] ?? 0
      }
      this.ornament(() =>
        this.document
          .moveTo(this.left, top + height)
          .lineTo(this.right, top + height)
          .lineWidth(head ? 0.8 : 0.3)
          .strokeColor(head ? INK : HAIR)
          .stroke(),
      )
      this.document.x = this.left
      this.document.y = top + height
    }
    const drawCellsAgain = (cells: readonly string[]) => {
      const top = this.document.y
      const height = heightOf(cells, true)
      let x = this.left
      for (const [index, cell] of cells.entries()) {
        this.font(this.tableSize, true)
          .fillColor(SOFT)
          .text(cell, x, top + 1.2, { width: (widths[index] ?? 0) - inner, lineGap: this.tableSize * CLOSER })
        x += widths[index] ?? 0
      }
      this.document
        .moveTo(this.left, top + height)
        .lineTo(this.right, top + height)
        .lineWidth(0.8)
        .strokeColor(INK)
        .stroke()
      this.document.x = this.left
      this.document.y = top + height
    }
    // Titles are never left alone at the foot of a page.
    this.room(heightOf(titles, true) + heightOf(printed[0] ?? [], false))
    this.group('Table', () => {
      this.group('THead', () =>
        this.group('TR', () =>
          drawCells(titles, true, (_type, draw) => this.element('TH', draw, { scope: 'Column' })),
        ),
      )
      this.group('TBody', () => {
        for (const cells of printed) {
          // On a new page the titles are printed again for the eye; who listens has heard them.
          if (this.room(heightOf(cells, false))) this.ornament(() => drawCellsAgain(titles), 'Pagination')
          this.group('TR', () =>
            drawCells(cells, false, (type, draw) =>
              this.element(type, draw, type === 'TH' ? { scope: 'Row' } : {}),
            ),
          )
        }
      })
    })
    this.gap(2)
  }

  /** Drawn in its place and read as `alt`. */
  private figure(alt: string, box: [number, number, number, number], draw: () => void): void {
    const [x, y, width, height] = box
    this.element('Figure', draw, { alt: this.print(alt), bbox: [x, y, x + width, y + height] })
    this.document.x = this.left
  }

  pipes({ from, to, between, lanes, alt }: Pipes): void {
    const { document } = this
    const lane = 21
    const height = 8 + lanes.length * lane
    this.room(height + 6)
    const top = document.y
    const start = this.left + 62
    const end = this.right - 118
    const middle = (start + end) / 2
    this.figure(alt, [this.left, top, this.width, height], () => {
      document.strokeColor(INK).lineWidth(1)
      document.rect(this.left, top + 1, 62, height - 3).stroke()
      document.rect(end, top + 1, 118, height - 3).stroke()
      document.fillColor(INK)
      const inside = { height: height - 10, ellipsis: true, lineBreak: true }
      this.line(this.print(from), this.left + 4, top + 5, 7.6, { ...inside, width: 54 })
      this.line(this.print(to), end + 5, top + 5, 7.6, { ...inside, width: 108 })
      for (const [index, { label, thick, marks }] of lanes.entries()) {
        const y = top + 13 + index * lane
        document
          .moveTo(start, y)
          .lineTo(end, y)
          .lineWidth(thick ? 4 : 1.6)
          .strokeColor(COPPER)
          .stroke()
        document.fillColor(SOFT)
        const named = index === 0 ? `${label}, ${between}` : label
        this.line(this.print(named), middle - 80, y - 12, 7, { width: 160, align: 'center' })
        for (const { tag, at, filled } of marks) {
          const x = start + 16 + at * (end - start - 32)
          document.circle(x, y, 4.2).lineWidth(1.3)
          if (filled) document.fillAndStroke(INK, INK)
          else document.fillAndStroke('#ffffff', INK)
          document.fillColor(INK)
          this.line(this.print(tag), x - 24, y + 5, 7, { width: 48, align: 'center' }, true)
        }
      }
    })
    document.y = top + height + 3
  }

  /** Side by side, two to a row. */
  plots(plots: readonly Plot[]): void {
    const between = 16
    const width = (this.width - between) / 2
    const height = 104
    for (let first = 0; first < plots.length; first += 2) {
      this.room(height + 4)
      const top = this.document.y
      for (const [column, plot] of plots.slice(first, first + 2).entries())
        this.plot(plot, this.left + column * (width + between), top, width, height)
      this.document.x = this.left
      this.document.y = top + height + 3
    }
  }

  private plot(plot: Plot, left: number, top: number, width: number, height: number): void {
    const { document } = this
    const box = { left: left + 36, right: left + width - 4, top: top + 21, bottom: top + height - 29 }
    const [x0, x1] = plot.x
    const [y0, y1] = plot.y
    const px = (x: number) => box.left + ((x - x0) / (x1 - x0 || 1)) * (box.right - box.left)
    const py = (y: number) =>
      Math.min(
        box.bottom,
        Math.max(box.top, box.bottom - ((y - y0) / (y1 - y0 || 1)) * (box.bottom - box.top)),
      )
    this.figure(plot.alt, [left, top, width, height], () => {
      document.fillColor(INK)
      this.line(
        this.print(plot.title),
        left,
        top,
        7.8,
        { width, height: 10, ellipsis: true, lineBreak: true },
        true,
      )
      document.fillColor(SOFT)
      this.line(this.print(plot.yLabel), left, top + 10, 6.8, { width })
      const [firstOfBand, ...more] = plot.band?.points ?? []
      if (firstOfBand && more.length > 0) {
        const points = [firstOfBand, ...more]
        document.moveTo(px(firstOfBand.x), py(firstOfBand.high))
        for (const point of points.slice(1)) document.lineTo(px(point.x), py(point.high))
        for (const point of [...points].reverse()) document.lineTo(px(point.x), py(point.low))
        document.closePath().fill(BAND)
      }
      document.lineWidth(0.4).strokeColor(HAIR)
      for (const [value, label] of plot.yTicks) {
        document.moveTo(box.left, py(value)).lineTo(box.right, py(value)).stroke()
        document.fillColor(SOFT)
        this.line(this.print(label), left, py(value) - 4.5, 6.8, { width: 32, align: 'right' })
      }
      document.lineWidth(0.7).strokeColor(SOFT)
      document.moveTo(box.left, box.top).lineTo(box.left, box.bottom).lineTo(box.right, box.bottom).stroke()
      for (const [value, label] of plot.xTicks) {
        document
          .moveTo(px(value), box.bottom)
          .lineTo(px(value), box.bottom + 2)
          .stroke()
        document.fillColor(SOFT)
        this.line(this.print(label), px(value) - 15, box.bottom + 2.5, 6.8, { width: 30, align: 'center' })
      }
      this.line(this.print(plot.xLabel), box.right - 90, box.bottom + 10, 6.8, { width: 90, align: 'right' })
      for (const line of plot.lines) {
        document.lineWidth(0.9).strokeColor(INK).dash(3, { space: 2 })
        document.moveTo(box.left, py(line.y)).lineTo(box.right, py(line.y)).stroke().undash()
        document.fillColor(INK)
        const above = py(line.y) - 9 >= box.top - 2
        this.line(this.print(line.label), box.right - 130, py(line.y) + (above ? -9 : 1), 6.8, {
          width: 128,
          align: 'right',
        })
      }
      const [firstOfCurve, ...rest] = plot.curve?.points ?? []
      if (firstOfCurve) {
        document.moveTo(px(firstOfCurve.x), py(firstOfCurve.y))
        for (const point of rest) document.lineTo(px(point.x), py(point.y))
        document.lineWidth(1.2).strokeColor(COPPER).stroke()
      }
      document.lineWidth(1)
      for (const { x, y } of plot.readings) document.circle(px(x), py(y), 1.9).fillAndStroke(INK, INK)
      document.fillColor(INK)
      this.line(this.print(plot.caption), left, box.bottom + 18, 7, {
        width,
        height: 10,
        ellipsis: true,
        lineBreak: true,
      })
    })
  }

  qr(
    modules: { size: number; get(row: number, column: number): number },
    alt: string,
    x: number,
    y: number,
    side: number,
  ): void {
    const { document } = this
    // Four modules of quiet around it, as readers expect (ISO/IEC 18004).
    const unit = side / (modules.size + 8)
    this.figure(alt, [x, y, side, side], () => {
      for (let row = 0; row < modules.size; row += 1) {
        for (let column = 0; column < modules.size; column += 1) {
          if (modules.get(row, column) === 0) continue
          let run = 1
          while (column + run < modules.size && modules.get(row, column + run) !== 0) run += 1
          // A hair wider than its cell, or viewers show seams between rows.
          document.rect(x + (column + 4) * unit, y + (row + 4) * unit, run * unit, unit * 1.02)
          column += run
        }
      }
      document.fill(INK)
    })
  }

  /** At the foot of every page; call last. */
  finish(words: string, pageOf: (page: number, count: number) => string): void {
    this.root.end()
    const { document } = this
    const { start, count } = document.bufferedPageRange()
    for (let page = start; page < start + count; page += 1) {
      document.switchToPage(page)
      const { margins, height } = document.page
      const bottom = margins.bottom
      // Text below the bottom margin would otherwise begin a page of its own.
      margins.bottom = 0
      this.ornament(() => {
        document.fillColor(SOFT)
        this.line(this.print(clipped(words, 110)), this.left, height - 28, 7.4)
        this.line(this.print(pageOf(page + 1, count)), this.right - 80, height - 28, 7.4, {
          width: 80,
          align: 'right',
        })
      }, 'Pagination')
      margins.bottom = bottom
    }
  }
}

const clipped = (text: string, most = CELL_AT_MOST) => (text.length > most ? `${text.slice(0, most)}…` : text)

/** Widths for columns as long as these: who needs little gets it, the others share what is left. */
export function sharedOut(width: number, needs: readonly number[]): number[] {
  const sum = needs.reduce((all, need) => all + need, 0)
  if (sum <= width) return needs.map((need) => need + (width - sum) / needs.length)
  const widths = needs.map(() => 0)
  let left = width
  const shortestFirst = needs.map((need, index) => ({ need, index })).sort((a, b) => a.need - b.need)
  for (const [done, { need, index }] of shortestFirst.entries()) {
    const given = Math.min(need, left / (needs.length - done))
    widths[index] = given
    left -= given
  }
  return widths
}
