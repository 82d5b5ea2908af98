// Does each calculator's page show how its figure came about: the formula with the numbers put in, source, plot and link?

import { parse } from 'node-html-parser'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { CALCULATIONS } from '../support/calculations.ts'
import { aCast, type Cast } from '../support/cast.ts'
import { twoFaces } from '../support/two-faces.ts'

let cast: Cast
let faces: Awaited<ReturnType<typeof twoFaces>>
beforeAll(async () => {
  cast = await aCast()
  faces = await twoFaces(cast)
})
afterAll(() => cast.remove())

async function open(url: string) {
  const answer = await faces.look(cast.tess, url)
  expect(answer.statusCode, url).toBe(200)
  return parse(answer.body)
}

describe('the page of', () => {
  it.each(CALCULATIONS)(
    '$path puts the numbers into the formula ($what)',
    async ({ path, fields, worked }) => {
      const page = await open(`/calculators/${path}?${new URLSearchParams(fields)}`)
      const numbers = page
        .querySelectorAll('.worked-numbers')
        .map((one) => one.text.replace(/[\u00a0\u202f]/g, ' '))
      for (const line of worked) expect(numbers).toContain(line)
      // Each step that has a formula has its numbers too.
      for (const step of page.querySelectorAll('.worked li'))
        if (step.querySelector('.worked-formula'))
          expect(step.querySelector('.worked-numbers')).not.toBeNull()
      expect(page.querySelector('.worked .hint')?.text).toMatch(/^Source: .{8,}/)
      const method = page.querySelector('.worked-links a')?.getAttribute('href') ?? ''
      expect((await open(method)).querySelector('h1')).not.toBeNull()
    },
  )

  it.each(CALCULATIONS)('$path carries its figures in a link ($what)', async ({ path, fields }) => {
    const page = await open(`/calculators/${path}?${new URLSearchParams(fields)}`)
    const link = page.querySelectorAll('#answer a').find((one) => one.text === 'Link to this')
    const again = await open((link?.getAttribute('href') ?? '').replaceAll('&amp;', '&'))
    expect(again.querySelector('#answer')?.innerHTML).toBe(page.querySelector('#answer')?.innerHTML)
    for (const [name, value] of Object.entries(fields)) {
      const field = again
        .querySelectorAll('input, textarea, select')
        .find((one) => one.getAttribute('name') === name)
      if (field?.tagName === 'INPUT') expect(field.getAttribute('value'), name).toBe(value)
      else if (field?.tagName === 'TEXTAREA') expect(field.text).toBe(value)
      else expect(field?.querySelector('option[selected]')?.getAttribute('value'), name).toBe(value)
    }
  })

  const answerOf = async (path: string) => {
    const { fields } = CALCULATIONS.find((one) => one.path === path) ?? { fields: {} }
    return (await open(`/calculators/${path}?${new URLSearchParams(fields)}`)).querySelector('#answer')
  }

  it('pressure-hold draws pressure against temperature, with its band and both readings', async () => {
    const plot = (await answerOf('pressure-hold'))?.querySelector('figure.curve')
    expect(plot?.querySelector('title')?.text).toBe('Pressure against temperature')
    expect(plot?.querySelectorAll('.curve-band')).not.toHaveLength(0)
    expect(plot?.querySelectorAll('.curve-plot g.curve-reading')).toHaveLength(2)
  })

  it('vacuum-decay draws the readings with all four curves', async () => {
    const plot = (await answerOf('vacuum-decay'))?.querySelector('figure.curve')
    const legend = plot?.text ?? ''
    for (const shape of ['level', 'straight', 'flattening', 'flattening, with a climb'])
      expect(legend).toContain(shape)
    expect(
      plot?.querySelectorAll('.curve-plot path.curve-fitted, .curve-plot path.curve-other'),
    ).toHaveLength(4)
  })

  it('room-area draws floor area against charge, and this charge on it', async () => {
    const plot = (await answerOf('room-area'))?.querySelector('figure.curve')
    expect(plot?.text).toContain('floor area')
    expect(plot?.querySelectorAll('.curve-plot g.curve-reading')).toHaveLength(1)
  })

  it('says beside an empty field that it is needed', async () => {
    const { fields } = CALCULATIONS.find((one) => one.path === 'pressure-hold') ?? { fields: {} }
    const answer = await faces.look(
      cast.tess,
      `/calculators/pressure-hold?${new URLSearchParams({ ...fields, 'end.gaugePressure.value': '' })}`,
    )
    expect(answer.statusCode).toBe(400)
    const wrong = parse(answer.body).querySelectorAll('.field-wrong')
    expect(wrong).toHaveLength(1)
    expect(wrong[0]?.querySelector('input')?.getAttribute('name')).toBe('end.gaugePressure.value')
    expect(wrong[0]?.querySelector('.message')?.text).toBe('This is needed.')
  })
})
