// How is a page of paper filled from top to bottom? Texts, tables, pipes and a QR code, with page breaks where needed.

import { say } from '../words/say.ts'
import { pdfText } from './pdf-text.ts'

type Document = PDFKit.PDFDocument

export interface Column {
  title: string
  /** Of the width, against the other columns. */
  share: number
  bold?: boolean
}

interface TextStyle {
  size: number
  width?: number
  bold?: boolean
  soft?: boolean
  mono?: boolean
  bullet?: boolean
  link?: string
}

interface Lane {
  label: string
  thick: boolean
  marks: { tag: string; at: number; filled: boolean }[]
}

export interface Pipes {
  from: string
  to: string
  between: string
  lanes: Lane[]
}

const INK = '#1c1a17'
const SOFT = '#55504a'
const COPPER = '#8a4415'
const HAIR = '#b9b2a6'

export class Paper {
  readonly left: number
  readonly right: number
  private readonly document: Document

  constructor(document: Document) {
    this.document = document
    this.left = document.page.margins.left
    this.right = document.page.width - document.page.margins.right
  }

  get y(): number {
    return this.document.y
  }
  set y(y: number) {
    this.document.y = y
  }
  private get bottom(): number {
    const { page } = this.document
    return page.height - page.margins.bottom
  }

  gap(height: number): void {
    this.document.y += height
  }

  /** Begins a new page unless this much still fits on this one. */
  private room(height: number): boolean {
    if (this.document.y + height <= this.bottom) return false
    this.document.addPage()
    return true
  }

  private font(style: Pick<TextStyle, 'bold' | 'mono' | 'size'>): Document {
    const name = style.mono
      ? say.certificates.courier
      : style.bold
        ? say.certificates.helveticaBold
        : say.certificates.helvetica
    return this.document.font(name).fontSize(style.size)
  }

  text(words: string, style: TextStyle): void {
    const indent = style.bullet ? 10 : 0
    const width = (style.width ?? this.right - this.left) - indent
    const printed = pdfText(words)
    this.font(style)
    this.room(Math.min(this.document.heightOfString(printed, { width, lineGap: 1.5 }), style.size * 4))
    this.document.fillColor(style.soft ? SOFT : style.link ? COPPER : INK)
    if (style.bullet) this.document.text('•', this.left, this.document.y, { lineBreak: false })
    this.document.text(printed, this.left + indent, this.document.y, {
      width,
      lineGap: 1.5,
      ...(style.link ? { link: style.link, underline: false } : {}),
    })
    this.document.x = this.left
  }

  section(title: string): void {
    this.gap(12)
    this.room(90)
    const { document } = this
    document
      .moveTo(this.left, document.y)
      .lineTo(this.right, document.y)
      .lineWidth(1.2)
      .strokeColor(COPPER)
      .stroke()
    this.gap(6)
    this.text(title, { size: 13, bold: true })
    this.gap(3)
  }

  subsection(title: string): void {
    this.gap(8)
    this.room(100)
    this.text(title, { size: 10, bold: true })
    this.gap(2)
  }

  /** Something that must not be overlooked. */
  box(words: string): void {
    const width = this.right - this.left - 20
    const printed = pdfText(words)
    this.font({ size: 11, bold: true })
    const height = this.document.heightOfString(printed, { width }) + 16
    this.room(height)
    const top = this.document.y
    this.document
      .rect(this.left, top, this.right - this.left, height)
      .lineWidth(2)
      .strokeColor(INK)
      .stroke()
    this.document.fillColor(INK).text(printed, this.left + 10, top + 8, { width })
    this.document.x = this.left
    this.document.y = top + height + 10
  }

  facts(facts: readonly (readonly [string, string])[]): void {
    const label = 84
    const width = this.right - this.left - label
    for (const [name, value] of facts) {
      const printed = pdfText(value)
      this.font({ size: 9 })
      const height = this.document.heightOfString(printed, { width, lineGap: 1.5 })
      this.room(height)
      const top = this.document.y
      this.font({ size: 9, bold: true })
      this.document.fillColor(INK).text(pdfText(name), this.left, top, { width: label - 8, lineGap: 1.5 })
      const below = this.document.y
      this.font({ size: 9 })
      this.document.text(printed, this.left + label, top, { width, lineGap: 1.5 })
      this.document.y = Math.max(this.document.y, below) + 2
    }
    this.document.x = this.left
  }

  table(columns: readonly Column[], rows: readonly (readonly string[])[]): void {
    const whole = columns.reduce((sum, column) => sum + column.share, 0)
    const inner = 6
    const widths = columns.map((column) => ((this.right - this.left) * column.share) / whole)
    const heightOf = (cells: readonly string[], bold: boolean) =>
      Math.max(
        ...cells.map((cell, index) => {
          this.font({ size: 8, bold: bold || columns[index]?.bold === true })
          return this.document.heightOfString(cell, { width: (widths[index] ?? 0) - inner })
        }),
      ) + 5
    const draw = (cells: readonly string[], bold: boolean) => {
      const top = this.document.y
      const height = heightOf(cells, bold)
      let x = this.left
      for (const [index, cell] of cells.entries()) {
        const width = widths[index] ?? 0
        this.font({ size: 8, bold: bold || columns[index]?.bold === true })
        this.document
          .fillColor(bold ? SOFT : INK)
          .text(cell, x, top + 2.5, { width: width - inner, lineGap: 0 })
        x += width
      }
      this.document
        .moveTo(this.left, top + height)
        .lineTo(this.right, top + height)
        .lineWidth(bold ? 0.9 : 0.4)
        .strokeColor(bold ? INK : HAIR)
        .stroke()
      this.document.x = this.left
      this.document.y = top + height
    }
    const titles = columns.map((column) => pdfText(column.title))
    // Titles are never left alone at the foot of a page.
    this.room(heightOf(titles, true) + heightOf((rows[0] ?? []).map(pdfText), false))
    draw(titles, true)
    for (const row of rows) {
      const cells = row.map(pdfText)
      if (this.room(heightOf(cells, false))) draw(titles, true)
      draw(cells, false)
    }
    this.gap(4)
  }

  pipes({ from, to, between, lanes }: Pipes): void {
    const { document } = this
    const lane = 26
    const height = 24 + lanes.length * lane
    this.room(height)
    const top = document.y
    const start = this.left + 62
    const end = this.right - 118
    const middle = (start + end) / 2
    this.font({ size: 8 })
    document.fillColor(INK).strokeColor(INK).lineWidth(1)
    document.rect(this.left, top + 4, 62, height - 14).stroke()
    document.text(pdfText(from), this.left + 4, top + 10, { width: 54, height: height - 24, ellipsis: true })
    document.rect(end, top + 4, 118, height - 14).stroke()
    document.text(pdfText(to), end + 5, top + 10, { width: 108, height: height - 24, ellipsis: true })
    for (const [index, { label, thick, marks }] of lanes.entries()) {
      const y = top + 22 + index * lane
      document
        .moveTo(start, y)
        .lineTo(end, y)
        .lineWidth(thick ? 4 : 1.6)
        .strokeColor(COPPER)
        .stroke()
      this.font({ size: 7 })
      document
        .fillColor(SOFT)
        .text(pdfText(index === 0 ? `${label}, ${between}` : label), middle - 60, y - 10, {
          width: 120,
          align: 'center',
          lineBreak: false,
        })
      for (const { tag, at, filled } of marks) {
        const x = start + 14 + at * (end - start - 28)
        document.circle(x, y, 4.5).lineWidth(1.3)
        if (filled) document.fillAndStroke(INK, INK)
        else document.fillAndStroke('#ffffff', INK)
        this.font({ size: 7, bold: true })
        document
          .fillColor(INK)
          .text(pdfText(tag), x - 24, y + 6.5, { width: 48, align: 'center', lineBreak: false })
      }
    }
    document.x = this.left
    document.y = top + height
  }

  qr(
    modules: { size: number; get(row: number, column: number): number },
    x: number,
    y: number,
    side: number,
  ): void {
    const { document } = this
    // Four modules of quiet around it, as readers expect (ISO/IEC 18004).
    const unit = side / (modules.size + 8)
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
  }

  /** At the foot of every page; call last. */
  numberPages(words: string): void {
    const { document } = this
    const { start, count } = document.bufferedPageRange()
    for (let page = start; page < start + count; page += 1) {
      document.switchToPage(page)
      const { margins, height } = document.page
      const bottom = margins.bottom
      // Text below the bottom margin would otherwise begin a page of its own.
      margins.bottom = 0
      this.font({ size: 8 })
      document.fillColor(SOFT)
      document.text(pdfText(words), this.left, height - 38, { lineBreak: false })
      document.text(say.certificates.pageOf(page + 1, count), this.right - 80, height - 38, {
        width: 80,
        align: 'right',
        lineBreak: false,
      })
      margins.bottom = bottom
    }
  }
}
