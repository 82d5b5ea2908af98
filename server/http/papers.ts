// What does a method assume, and what does a requirement ask? The papers of this repository, to be read beside the work.

import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { PaperPage, PapersPage } from '../../views/reference/paper.tsx'
import { missing } from '../refusals.ts'
import { ROOT } from '../root.ts'
import { say } from '../words/say.ts'
import type { PublicAsk, Resource } from './resource.ts'
import { shellOf } from './shell.ts'

const folders = () =>
  ({
    methods: {
      title: say.reference.methods,
      lead: say.reference.howEachNumberIs,
      parameter: 'methodName',
    },
    requirements: {
      title: say.reference.requirements,
      lead: say.reference.whatEachHoldPoint,
      parameter: 'requirementName',
    },
  }) as const
type Folder = keyof ReturnType<typeof folders>

interface Paper {
  name: string
  title: string
  html: string
}

/** Read and set once: they change only with the program. */
const read = new Map<Folder, Promise<Map<string, Paper>>>()

async function readPapers(folder: Folder): Promise<Map<string, Paper>> {
  // On first use: who never reads a paper does not pay for it.
  const { default: MarkdownIt } = await import('markdown-it')
  // Marks of HTML in a paper stay text.
  const markdown = new MarkdownIt({ html: false })
  const { rules } = markdown.renderer
  const plain = markdown.renderer.renderToken.bind(markdown.renderer)
  rules.table_open = () => `<div class="table-scroll" tabindex="0" role="group" aria-label="Table"><table>`
  rules.table_close = () => '</table></div>'
  rules.link_open = (tokens, at, options) => {
    const token = tokens[at]
    const href = token?.attrGet('href') ?? ''
    token?.attrSet('href', addressOf(href, folder))
    return plain(tokens, at, options)
  }
  const papers = new Map<string, Paper>()
  for (const file of readdirSync(join(ROOT, 'docs', folder)).sort()) {
    if (!file.endsWith('.md')) continue
    const text = readFileSync(join(ROOT, 'docs', folder, file), 'utf8')
    const name = file.replace(/\.md$/, '')
    const title = /^# (.+)$/m.exec(text)?.[1] ?? name
    // The title stands in the page's own heading.
    papers.set(name, { name, title, html: markdown.render(text.replace(/^# .+$/m, '')) })
  }
  return papers
}

/** `torque.md` from a paper of the same folder, `../requirements/x.md` from the other one; the rest stays with the code. */
function addressOf(href: string, folder: Folder): string {
  const other = /^(?:\.\.\/(methods|requirements)\/)?([a-z0-9-]+)\.md(#.*)?$/.exec(href)
  if (other) return `/${other[1] ?? folder}/${other[2]}${other[3] ?? ''}`
  return /^https?:\/\//.test(href) ? href : `/${folder}`
}

const papersOf = (folder: Folder): Promise<Map<string, Paper>> => {
  const known = read.get(folder) ?? readPapers(folder)
  read.set(folder, known)
  return known
}

const shell = ({ identity }: PublicAsk, here: string) => (identity.actor ? shellOf(identity.actor, here) : {})

export function papersResource(resource: Resource): void {
  for (const folder of Object.keys(folders()) as Folder[]) {
    const words = folders()[folder]
    resource.publicRead({
      path: `/${folder}`,
      name: folder,
      summary: words.lead,
      load: async () => [...(await papersOf(folder)).values()].filter((paper) => paper.name !== 'README'),
      page: (papers, ask) =>
        PapersPage({
          shell: shell(ask, `/${folder}`),
          title: words.title,
          lead: words.lead,
          papers: papers.map((paper) => ({ href: `/${folder}/${paper.name}`, title: paper.title })),
        }),
    })
    resource.publicRead({
      path: `/${folder}/:${words.parameter}`,
      name: `${folder.replace(/s$/, '')} paper`,
      summary: 'One of them.',
      load: async (ask) => {
        const paper = (await papersOf(folder)).get(ask.params[words.parameter] ?? '')
        if (!paper) throw missing()
        return paper
      },
      page: (paper, ask) =>
        PaperPage({
          shell: shell(ask, `/${folder}`),
          title: paper.title,
          html: paper.html,
          back: { href: `/${folder}`, label: say.reference.all(words.title.toLowerCase()) },
        }),
    })
  }
}
