// Is whoever the customer is kept out of a text, and everything else left as it was?

import { describe, expect, it } from 'vitest'
import { redactorOf } from '../../server/certificate/redaction.ts'

const customer = {
  customerName: 'Mallory Quill',
  address: '14 Reed Lane, Brackwater, QL4 7XB',
  town: 'Brackwater',
  contact: 'Mallory (home) 020 7946 0991, m.quill@mail.example',
}
const { clear, hides } = redactorOf(customer, '[-]')

describe('a redactor', () => {
  it.each([
    ['the name', 'Mallory Quill rang.', '[-] rang.'],
    ['the name in another case, and spaced otherwise', 'says MALLORY\n quill', 'says [-]'],
    ['the whole address as one', 'at 14 Reed Lane, Brackwater, QL4 7XB today', 'at [-] today'],
    ['the whole address over lines', '14 Reed Lane\nBrackwater\nQL4 7XB', '[-]'],
    ['each line of it', 'Go to 14 Reed Lane; code QL4 7XB.', 'Go to [-]; code [-].'],
    ['the telephone as everybody writes it', '02079460991, 020-7946-0991, (020) 7946 0991', '[-], [-], [-]'],
    ['the telephone as it is dialled from abroad', 'ring +44 20 7946 0991 now', 'ring [-] now'],
    ['the e-mail', 'Mail M.Quill@mail.example!', 'Mail [-]!'],
  ])('takes out %s', (_what, text, cleared) => {
    expect(hides(text)).toBe(true)
    expect(clear(text)).toBe(cleared)
    expect(hides(clear(text))).toBe(false)
  })

  it.each([
    ['the town, which every certificate shows', 'Brackwater'],
    ['a longer word that holds the name', 'Mallory Quillington'],
    ['half a name, which is a word like any other', 'the Quill model'],
    ['a number that is another', '020 7946 0992'],
    ['a house number alone', 'page 14'],
  ])('leaves %s', (_what, text) => {
    expect(hides(text)).toBe(false)
    expect(clear(text)).toBe(text)
  })

  it('looks however deep, into names of fields too, and changes nothing but texts', () => {
    const value = { at: 7, list: [null, true, { note: 'for Mallory Quill' }] }
    expect(hides(value)).toBe(true)
    expect(clear(value)).toEqual({ at: 7, list: [null, true, { note: 'for [-]' }] })
    expect(hides({ 'Mallory Quill': 1 })).toBe(true)
    expect(hides({ at: 7, list: [null, 2] })).toBe(false)
  })

  it('finds letters with marks however they are put together', () => {
    const other = redactorOf({ ...customer, customerName: 'Zoë Ångström' }, '[-]')
    expect(other.clear('Zoe\u0308 A\u030angstro\u0308m')).toBe('[-]')
  })

  it('takes a short name out too, as a whole word', () => {
    const short = redactorOf({ ...customer, customerName: 'Ó' }, '[-]')
    expect(short.clear('Ó rang Óscar')).toBe('[-] rang Óscar')
  })

  it('of a customer of whom nothing is known takes nothing out', () => {
    const nobody = redactorOf({ customerName: '', address: '', town: '', contact: null }, '[-]')
    expect(nobody.hides('anything at all')).toBe(false)
  })
})
