// How would somebody change a finished PDF? By writing objects anew at its end, which every viewer honours (ISO 32000, 7.5.6).

/** Object number → what it is from now on. */
export function writtenAnew(pdf: Buffer, objects: Record<number, string>): Buffer {
  const text = pdf.toString('latin1')
  const root = /\/Root (\d+ 0 R)/.exec(text)?.[1] ?? ''
  const size = /\/Size (\d+)/.exec(text)?.[1] ?? ''
  const before = /startxref\n(\d+)\n%%EOF\s*$/.exec(text)?.[1] ?? ''
  let added = ''
  const places: [string, number][] = []
  for (const [number, body] of Object.entries(objects)) {
    places.push([number, pdf.length + added.length])
    added += `${number} 0 obj\n${body}\nendobj\n`
  }
  const table = places
    .map(([number, at]) => `${number} 1\n${String(at).padStart(10, '0')} 00000 n \n`)
    .join('')
  const start = pdf.length + added.length
  added += `xref\n${table}trailer\n<<\n/Size ${size}\n/Root ${root}\n/Prev ${before}\n>>\nstartxref\n${start}\n%%EOF\n`
  return Buffer.concat([pdf, Buffer.from(added, 'latin1')])
}

/** The same paper with another copy inside. */
export function withCopyInside(pdf: Buffer, copy: string): Buffer {
  return writtenAnew(pdf, { [attachmentOf(pdf)]: embedded(copy) })
}

/** The same file without its attachment, as a program leaves it that knows none. */
export function withNothingInside(pdf: Buffer): Buffer {
  const { number, body } = catalogOf(pdf)
  const bare = body.replace(/\/AF \[[^\]]*\]\n/, '').replace(/\/Names \d+ 0 R\n/, '')
  return writtenAnew(pdf, { [number]: bare })
}

/** A second copy beside the first. */
export function withTwoInside(pdf: Buffer, copy: string): Buffer {
  const { number, body } = catalogOf(pdf)
  const size = Number(/\/Size (\d+)/.exec(pdf.toString('latin1'))?.[1])
  return writtenAnew(pdf, {
    [size]: embedded(copy),
    [size + 1]: `<<\n/Type /Filespec\n/F (more.json)\n/EF << /F ${size} 0 R >>\n>>`,
    [number]: body.replace(/\/AF \[/, `/AF [${size + 1} 0 R `),
  })
}

/** The properties that name the copy, written anew: for who changes the copy and thinks of them too. */
export function withProperties(pdf: Buffer, change: (xmp: string) => string): Buffer {
  const text = pdf.toString('latin1')
  const [, number = '', xmp = ''] =
    /\n(\d+) 0 obj\n<<[^>]*\/Type \/Metadata[\s\S]*?stream\n([\s\S]*?)\nendstream/.exec(text) ?? []
  const changed = change(xmp)
  return writtenAnew(pdf, {
    [number]: `<<\n/Type /Metadata\n/Subtype /XML\n/Length ${changed.length}\n>>\nstream\n${changed}\nendstream`,
  })
}

/** A file of nothing but a copy, its objects packed into a stream, as newer programs write them (ISO 32000, 7.5.7). */
export function packed(copy: string): Buffer {
  const inside = [
    '<< /Type /Catalog /AF [3 0 R] /Pages 4 0 R >>',
    '<< /Type /Filespec /UF (copy.json) /EF << /F 5 0 R >> >>',
    '<< /Type /Pages /Kids [] /Count 0 >>',
  ]
  let at = 0
  const heads = inside.map((body, index) => {
    const head = `${index + 2} ${at}`
    at += body.length + 1
    return head
  })
  const first = `${heads.join(' ')} `
  const stream = `${first}${inside.join(' ')}`
  return Buffer.from(
    `%PDF-1.7\n1 0 obj\n<< /Type /ObjStm /N 3 /First ${first.length} /Length ${stream.length} >>\nstream\n${stream}\nendstream\nendobj\n` +
      `5 0 obj\n${embedded(copy)}\nendobj\n` +
      `6 0 obj\n<< /Type /XRef /Size 7 /W [1 2 1] /Root 2 0 R /Length 0 >>\nstream\n\nendstream\nendobj\nstartxref\n0\n%%EOF\n`,
    'latin1',
  )
}

const embedded = (copy: string) =>
  `<<\n/Type /EmbeddedFile\n/Length ${Buffer.byteLength(copy)}\n>>\nstream\n${Buffer.from(copy).toString('latin1')}\nendstream`

function attachmentOf(pdf: Buffer): number {
  const [, number] = /\n(\d+) 0 obj\n<<\n\/Type \/EmbeddedFile/.exec(pdf.toString('latin1')) ?? []
  if (number === undefined) throw new Error('There is no attachment.')
  return Number(number)
}

function catalogOf(pdf: Buffer): { number: string; body: string } {
  const [, number = '', body = ''] =
    /\n(\d+) 0 obj\n(<<\n\/Type \/Catalog[\s\S]*?\n>>)\nendobj/.exec(pdf.toString('latin1')) ?? []
  return { number, body }
}
