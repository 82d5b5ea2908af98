import { describe, expect, it } from 'vitest'
import { paperFonts } from '../../server/certificate/pdf-fonts.ts'
import { losesCharacters, pdfText } from '../../server/certificate/pdf-text.ts'
import { repeatsOf } from '../../server/certificate/signed-copy.ts'
import {
  groupedCode,
  lastFour,
  leakWords,
  placeWords,
  plainCode,
  repeatLine,
} from '../../server/certificate/words.ts'
import { newCode } from '../../server/ids.ts'
import { aJob } from '../support/dossiers.ts'
import { printed } from '../support/printed.ts'

describe('what the paper can print', async () => {
  const { has } = await paperFonts()
  it.each([
    ['19.0 N·m, ½ in, 21 °C, ± 4 %, 25 m²', '19.0 N·m, ½ in, 21 °C, ± 4 %, 25 m²'],
    ['“quoted” – and — so … €', '“quoted” – and — so … €'],
    ['−12 ≤ x ≥ y ≈ z → 5 Ω', '−12 ≤ x ≥ y ≈ z → 5 Ω'],
    ['10\u00a0000', '10\u00a0000'],
    ['10\u202f000', '10 000'],
    ['3.2 × 10⁻⁵ and 10⁶', '3.2 × 10⁻⁵ and 10⁶'],
    ['CO₂', 'CO₂'],
    ['Müller, Łukasz Đorđe, Žofie, Ğ, ő', 'Müller, Łukasz Đorđe, Žofie, Ğ, ő'],
    ['Инженер, Μηχανικός', 'Инженер, Μηχανικός'],
    ['e\u0301', 'é'],
    ['漢字', '??'],
    ['a\u200db\u0007c', 'abc'],
    ['🔧', '?'],
  ])('%j becomes %j', (text, printed) => {
    expect(pdfText(text, has)).toBe(printed)
  })

  it('is known to lose characters only when it does', () => {
    expect(losesCharacters('Is it tight?', has)).toBe(false)
    expect(losesCharacters('Müller ≤ Łukasz', has)).toBe(false)
    expect(losesCharacters('漢字?', has)).toBe(true)
  })
})

describe('words', () => {
  it('group a code, and take it back however it was typed', () => {
    for (let n = 0; n < 50; n += 1) {
      const code = newCode()
      expect(groupedCode(code)).toMatch(/^[a-z2-9]{5}(-[a-z2-9]{5}){3}$/)
      expect(plainCode(` ${groupedCode(code).toUpperCase()} `)).toBe(code)
    }
  })

  it.each([
    ['outdoor-gas', 'outdoor end, gas'],
    ['outdoor-gas-port', 'outdoor gas port'],
    ['coupling in the loft', 'coupling in the loft, gas'],
  ])('the place %j is “%s”', (place, words) => {
    expect(placeWords({ place, line: 'gas' })).toBe(words)
  })

  it.each([
    ['SN-12 345 678', '5678'],
    ['7', '7'],
    ['', ''],
  ])('the end of %j is %j', (serial, end) => {
    expect(lastFour(serial)).toBe(end)
  })

  it('say a leak with two figures, in a unit that people can picture', () => {
    expect(leakWords(2.4137)).toBe('about 2.4 kg of refrigerant a year')
    expect(leakWords(0.1004)).toBe('about 100 g of refrigerant a year')
    expect(leakWords(0.0043)).toBe('about 4.3 g of refrigerant a year')
  })

  it('count tests that were repeated, also when none passed', () => {
    const repeat = { kind: 'evacuation' as const, systemId: 's', causes: [] }
    expect(repeatLine({ ...repeat, tests: 2, verdicts: ['leak', 'cannot-tell'], firstPass: null })).toBe(
      'Evacuations: 2 were made (leak, then cannot tell). None of them passed.',
    )
    expect(
      repeatLine({
        ...repeat,
        covers: ['Kitchen', 'Hall'],
        tests: 2,
        verdicts: ['moisture', 'tight'],
        firstPass: 2,
        causes: ['Rain had run in. Swept with nitrogen.', 'cap closed'],
      }),
    ).toBe(
      'Evacuations of Kitchen, Hall: 2 were made (moisture, then tight). The second was the first to pass. Dealt with in between: Rain had run in. Swept with nitrogen; cap closed.',
    )
  })
})

describe('tests that were made more than once', () => {
  const test = (verdict: string, ...covers: string[]) =>
    ({ verdict, covers, ofThisJob: true, repeatCause: null }) as never
  const repeats = (...pressureTests: never[]) =>
    repeatsOf({
      id: 's',
      lineSets: ['Kitchen', 'Hall', 'Attic'].map((name) => ({ name })) as never,
      pressureTests,
      evacuations: [],
    }).map(({ covers, verdicts, firstPass }) => [covers, verdicts.join(' '), firstPass])

  it('are those that had a section in common, and not sections tested one after the other', () => {
    expect(repeats(test('holds', 'Kitchen'), test('holds', 'Hall'), test('holds', 'Attic'))).toEqual([])
    expect(repeats(test('falls', 'Kitchen'), test('holds', 'Hall'), test('holds', 'Kitchen'))).toEqual([
      [['Kitchen'], 'falls holds', 2],
    ])
    expect(repeats(test('falls', 'Kitchen'), test('holds', 'Hall'), test('holds'))).toEqual([
      [undefined, 'falls holds holds', 2],
    ])
    expect(
      repeats(test('falls', 'Kitchen', 'Hall'), test('holds', 'Hall'), test('holds', 'Kitchen')),
    ).toEqual([[['Kitchen', 'Hall'], 'falls holds holds', 2]])
  })
  it('and a joint or unit by itself may be one of any section', () => {
    expect(repeats(test('falls', 'SH1-3'), test('holds', 'Hall'))).toEqual([
      [['SH1-3', 'Hall'], 'falls holds', 2],
    ])
  })
})

describe('the paper', () => {
  const pagesOf = (pdf: Buffer) => pdf.toString('latin1').match(/\/Type \/Page\b(?!s)/g)?.length ?? 0

  it('is the same, byte for byte, when it is printed twice', async () => {
    const job = aJob().withSystem().withLineSet().flareComplete()
    expect((await printed(job)).pdf.equals((await printed(job)).pdf)).toBe(true)
  })

  it('goes on over as many pages as sixteen zones with 64 joints need, and no more', async () => {
    const job = aJob().withSystem()
    for (let zone = 1; zone <= 16; zone += 1) job.withLineSet({ name: `Zone ${zone}` }).flareComplete()
    job.pressureTested().evacuated().charged().ran()
    const pages = pagesOf((await printed(job)).pdf)
    expect(pages).toBeGreaterThan(3)
    expect(pages).toBeLessThan(8)
  })

  it('takes brazed, pressed, factory-made and left-out joints, and a job with next to nothing in it', async () => {
    const job = aJob()
      .withSystem({ sheet: null, refrigerant: 'R-290' })
      .withLineSet({ jointKind: 'brazed', room: { floorAreaM2: 9 } })
      .made()
      .brazed(false)
      .withJoint({ kind: 'press', place: 'coupling in the loft' })
      .made()
      .pressed({ insertionMarked: false })
      .withJoint({ kind: 'flare', origin: 'factory' })
      .withJoint({ kind: 'service-port', place: 'service-port' })
      .leftOut('not touched')
      .ran({ notPossible: { reason: 'no power', dueAt: Date.UTC(2026, 5, 1) } })
    expect(pagesOf((await printed(job)).pdf)).toBeGreaterThan(0)
    expect(pagesOf((await printed(aJob('maintenance').withSystem())).pdf)).toBeGreaterThan(0)
  })

  it('survives names beyond all measure and beyond its fonts', async () => {
    const job = aJob()
      .withSystem({ name: '漢字'.repeat(100) })
      .withLineSet({ name: 'L'.repeat(400) })
    const { pdf } = await printed(job, {
      customerName: 'x'.repeat(3000),
      company: '🔧 & <b>Søn</b> '.repeat(30),
    })
    expect(pagesOf(pdf)).toBeGreaterThan(1)
  })
})
