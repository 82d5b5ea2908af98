// What does a PDF hold, as another program reads it? Texts, tags, attachments, pictures of its pages.

import { inflateSync } from 'node:zlib'
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs'

export interface TagNode {
  role: string
  alt?: string
  children: (TagNode | { type: string; id: string })[]
}

export interface ReadPdf {
  pages: number
  /** Page by page, what can be selected, in the order in which it is stored. */
  text: string[]
  /** The elements of each page, in the order in which they are read aloud. */
  tags: TagNode[]
  attachments: Record<string, Buffer>
  properties: Map<string, unknown>
  marked: boolean
  picture(page: number, scale?: number): Promise<Picture>
  close(): Promise<void>
}

export interface Picture {
  width: number
  height: number
  png: Buffer
  /** Of all its points, how many are dark: between 0 and 1. */
  ink: number
  /** In points of the paper, from its upper left corner. */
  isDark(x: number, y: number): boolean
}

interface Canvas {
  width: number
  height: number
  toBuffer(type: 'image/png'): Buffer
  getContext(kind: '2d'): CanvasRenderingContext2D
}

export async function readPdf(pdf: Buffer): Promise<ReadPdf> {
  const document = await getDocument({ data: new Uint8Array(pdf), verbosity: 0 }).promise
  const text: string[] = []
  const tags: TagNode[] = []
  for (let n = 1; n <= document.numPages; n += 1) {
    const page = await document.getPage(n)
    const { items } = await page.getTextContent()
    text.push(items.map((item) => ('str' in item ? item.str + (item.hasEOL ? '\n' : '') : '')).join(''))
    tags.push((await page.getStructTree()) as unknown as TagNode)
  }
  const attachments = ((await document.getAttachments()) ?? {}) as Record<string, { content: Uint8Array }>
  const { metadata } = await document.getMetadata()
  return {
    pages: document.numPages,
    text,
    tags,
    attachments: Object.fromEntries(
      Object.entries(attachments).map(([name, { content }]) => [name, Buffer.from(content)]),
    ),
    properties: new Map(metadata as unknown as Iterable<[string, unknown]>),
    marked: (await document.getMarkInfo())?.Marked === true,
    async picture(n, scale = 1.2) {
      const page = await document.getPage(n)
      const viewport = page.getViewport({ scale })
      const made = (document.canvasFactory as { create(w: number, h: number): { canvas: Canvas } }).create(
        Math.ceil(viewport.width),
        Math.ceil(viewport.height),
      )
      const { canvas } = made
      const context = canvas.getContext('2d')
      await page.render({ canvas: canvas as never, canvasContext: context, viewport }).promise
      const { data } = context.getImageData(0, 0, canvas.width, canvas.height)
      let dark = 0
      for (let at = 0; at < data.length; at += 4) if ((data[at] ?? 255) < 128) dark += 1
      return {
        width: canvas.width,
        height: canvas.height,
        png: canvas.toBuffer('image/png'),
        ink: dark / (data.length / 4),
        isDark: (x, y) =>
          (data[(Math.floor(y * scale) * canvas.width + Math.floor(x * scale)) * 4] ?? 255) < 128,
      }
    },
    close: () => document.destroy(),
  }
}

/** Every element below, itself first. */
export const elementsOf = (node: TagNode): TagNode[] => [
  node,
  ...node.children.flatMap((child) => ('role' in child ? elementsOf(child) : [])),
]

/** The objects as they stand in the file, and the content of its streams: for what a viewer would not tell. */
export function rawPdf(pdf: Buffer): {
  objects: Map<number, string>
  streams: Map<number, Buffer>
  trailer: string
} {
  const whole = pdf.toString('latin1')
  const objects = new Map<number, string>()
  const streams = new Map<number, Buffer>()
  for (const [, id = '', body = ''] of whole.matchAll(/(?<=\n)(\d+) 0 obj\n([\s\S]*?)\nendobj/g)) {
    const [, dictionary = body, content] = /^([\s\S]*?)\nstream\r?\n([\s\S]*)\nendstream$/.exec(body) ?? []
    objects.set(Number(id), dictionary)
    if (content === undefined) continue
    const bytes = Buffer.from(content, 'latin1')
    streams.set(Number(id), dictionary.includes('/FlateDecode') ? inflateSync(bytes) : bytes)
  }
  return { objects, streams, trailer: whole.slice(whole.lastIndexOf('\ntrailer')) }
}
