// What does the report of a claim look like on paper? Sections of facts, tables and lists, as they are handed in.

import { say } from '../words/say.ts'
import { Paper } from './paper.ts'
import { paperDocument } from './paper-document.ts'

export interface ReportPart {
  title: string
  facts?: [string, string][]
  table?: { columns: string[]; rows: string[][] }
  list?: string[]
  text?: string
}

export interface ClaimReport {
  company: string
  title: string
  lead: string
  facts: [string, string][]
  sections: { title: string; parts: ReportPart[] }[]
  madeAt: number
}

export async function claimReportPdf(report: ClaimReport): Promise<Buffer> {
  const { document, fonts, written } = await paperDocument({
    title: report.title,
    subject: report.lead,
    at: report.madeAt,
  })
  const paper = new Paper(document, fonts)
  paper.text(report.company, { size: 11, bold: true })
  paper.title(report.title, paper.right - paper.left)
  paper.text(report.lead, { soft: true })
  paper.gap(4)
  paper.facts(report.facts, FACT_LABEL)
  for (const { title, parts } of report.sections) {
    paper.section(title)
    for (const part of parts) {
      if (part.title !== '') paper.subsection(part.title)
      if (part.text !== undefined) paper.text(part.text, { soft: true })
      if (part.facts) paper.facts(part.facts, FACT_LABEL)
      if (part.table)
        paper.table(
          part.table.columns.map((column, index) => ({ title: column, bold: index === 0 })),
          part.table.rows,
        )
      if (part.list) paper.list(part.list)
    }
  }
  paper.finish(report.title, (page, count) => say.certificates.pageOf(page, count))
  return written()
}

const FACT_LABEL = 120
