// How does somebody work a page with a keyboard alone? Each stop is looked at: is it seen, named, in the order it is read?

import type { Locator, Page } from 'playwright-core'
import { expect } from 'vitest'

interface Stop {
  /** In a few words, for whoever reads the failure. */
  what: string
  /** Nothing shows that the keyboard is here. */
  unseen: string | null
  /** Something lies over it, or it is outside of the screen (WCAG 2.2, 2.4.11). */
  hidden: boolean
  /** Not after the stop before, as the document is written or as it is drawn. */
  outOfOrder: string | null
  /** The first stop of the page, which also comes after its last. */
  isAnew: boolean
}

/** More stops than any page has: whoever gets this far is caught. */
const MOST_STOPS = 300

export class Keyboard {
  readonly #page: Page
  /** What was wrong at the stops, all of them together. */
  readonly faults: string[] = []
  #stops = 0

  constructor(page: Page) {
    this.#page = page
  }

  get stops(): number {
    return this.#stops
  }

  async press(key: string): Promise<void> {
    await this.#page.keyboard.press(key)
  }
  async type(text: string): Promise<void> {
    await this.#page.keyboard.type(text)
  }

  /** What the keyboard is on now; null where it is on nothing. */
  #look(forward: boolean): Promise<Stop | null> {
    return this.#page.evaluate((isForward) => {
      const here = document.activeElement
      if (!here || here === document.body) return null
      const kept = window as unknown as { lastStop?: Element }
      const words = `${here.tagName.toLowerCase()} “${(
        here.getAttribute('aria-label') ??
        (here as HTMLInputElement).labels?.[0]?.textContent ??
        here.textContent ??
        ''
      )
        .trim()
        .slice(0, 50)}”`
      type Colour = [number, number, number, number]
      const colour = (css: string): Colour => {
        const [red = 0, green = 0, blue = 0, alpha = 1] = (css.match(/[\d.]+/g) ?? []).map(Number)
        return [red, green, blue, css === 'transparent' ? 0 : alpha]
      }
      const luminance = ([red, green, blue]: Colour) => {
        const part = (value: number) => {
          const share = value / 255
          return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4
        }
        return 0.2126 * part(red) + 0.7152 * part(green) + 0.0722 * part(blue)
      }
      const contrast = (one: Colour, other: Colour) => {
        const [light = 0, dark = 0] = [luminance(one), luminance(other)].sort((a, b) => b - a)
        return (light + 0.05) / (dark + 0.05)
      }
      const ground = (from: Element | null): Colour => {
        for (let at = from; at; at = at.parentElement) {
          const found = colour(getComputedStyle(at).backgroundColor)
          if (found[3] === 1) return found
        }
        return [255, 255, 255, 1]
      }
      /** A line around it of two pixels or more that stands out from what is around it (WCAG 2.2, 2.4.7 and 1.4.11). */
      const ringed = (one: Element | null): boolean => {
        if (!one) return false
        const style = getComputedStyle(one)
        const width = Number.parseFloat(style.outlineWidth)
        return (
          style.outlineStyle !== 'none' &&
          width >= 2 &&
          contrast(colour(style.outlineColor), ground(one.parentElement)) >= 3
        )
      }
      const stroked = (one: Element | null): boolean => {
        if (!one) return false
        const style = getComputedStyle(one)
        return (
          style.stroke !== 'none' &&
          Number.parseFloat(style.strokeWidth) >= 2 &&
          contrast(colour(style.stroke), ground(one.closest('svg'))) >= 3
        )
      }
      const isSeen =
        ringed(here) || ringed(here.closest('.choice')) || stroked(here.querySelector(':scope > .ps-tap'))
      const box = here.getBoundingClientRect()
      const [x, y] = [box.left + Math.min(box.width / 2, 200), box.top + box.height / 2]
      const hit = document.elementFromPoint(x, y)
      const isHit =
        hit !== null &&
        (here.contains(hit) || hit.contains(here) || here.closest('label')?.contains(hit) === true)
      const last = kept.lastStop
      let outOfOrder: string | null = null
      // After the last stop the first one comes again.
      const isAnew = here.classList.contains('skip')
      if (isForward && !isAnew && last?.isConnected && last !== here) {
        const before = last.getBoundingClientRect()
        const follows = last.compareDocumentPosition(here) & Node.DOCUMENT_POSITION_FOLLOWING
        // Drawn in the order of the lines, and within a line from the left. A drawing has its own order, that of the pipe.
        const isDrawing = last.closest('svg') !== null && here.closest('svg') !== null
        const isAbove = box.bottom <= before.top + 2
        const isLeft =
          box.top < before.bottom - 2 && box.bottom > before.top + 2 && box.right <= before.left + 2
        if (!follows) outOfOrder = 'stands before it in the document'
        else if (!isDrawing && isAbove) outOfOrder = 'is drawn above it'
        else if (!isDrawing && isLeft) outOfOrder = 'is drawn left of it'
      }
      kept.lastStop = here
      return { what: words, unseen: isSeen ? null : words, hidden: !isHit, outOfOrder, isAnew }
    }, forward)
  }

  async #judged(forward: boolean): Promise<Stop | null> {
    const stop = await this.#look(forward)
    if (!stop) return null
    this.#stops += 1
    const at = `${new URL(this.#page.url()).pathname}, ${stop.what}`
    if (stop.unseen) this.faults.push(`${at}: nothing shows that the keyboard is here`)
    if (stop.hidden) this.faults.push(`${at}: it is covered, or outside of the screen`)
    if (stop.outOfOrder) this.faults.push(`${at}: ${stop.outOfOrder}`)
    return stop
  }

  /** Tab, until the keyboard is on this one. */
  async to(what: Locator, { backwards = false } = {}): Promise<void> {
    const wanted = await what.first().elementHandle()
    const passed: string[] = []
    let ends = 0
    for (let stop = 0; stop < MOST_STOPS; stop += 1) {
      if (await this.#page.evaluate((one) => one === document.activeElement, wanted)) return
      await this.press(backwards ? 'Shift+Tab' : 'Tab')
      const seen = await this.#judged(!backwards)
      passed.push(seen?.what ?? 'the end')
      // At the end of the page it begins again; from the start it does so once too.
      if (!seen || seen.isAnew) ends += 1
      if (ends > 2) break
    }
    throw new Error(`${what} is not reached by the keyboard; passed: ${passed.join(', ')}`)
  }

  /** A link or a button, pressed; what it leads to has taken the place of what was there. */
  async go(what: Locator, key: 'Enter' | 'Space' = 'Enter'): Promise<void> {
    await this.to(what)
    await this.answer(key)
  }

  /** Whatever the key sends off has been answered. */
  async answer(key: string): Promise<void> {
    await this.#page.locator('main').evaluate((main) => main.setAttribute('data-before', ''))
    await this.press(key)
    await this.#page.locator('main:not([data-before])').waitFor()
    await this.#page.waitForLoadState('networkidle')
  }

  /** Of a list that drops down: by its letters, as one types. */
  async pick(select: Locator, label: string): Promise<void> {
    await this.to(select)
    // What no key has is not needed to tell it from the others.
    await this.type(/^[\x20-\x7e]*/.exec(label)?.[0] ?? '')
    await expect
      .poll(() => select.first().evaluate((one) => (one as HTMLSelectElement).selectedOptions[0]?.label))
      .toBe(label)
  }

  /** One of a few: Tab to the one that is chosen, then the arrows. */
  async choose(group: Locator, value: string): Promise<void> {
    await this.to(group.locator('input[type=radio]:checked'))
    const wanted = group.locator(`input[type=radio][value="${value}"]`).first()
    for (let step = 0; step < 10 && !(await wanted.isChecked()); step += 1) await this.press('ArrowDown')
    expect(await wanted.isChecked(), `${value} is chosen by the arrows`).toBe(true)
    await this.#judged(false)
  }

  async fill(field: Locator, text: string): Promise<void> {
    await this.to(field)
    await this.press('ControlOrMeta+a')
    await this.type(text)
  }

  /** What the keyboard is on, by its words. */
  async here(): Promise<string> {
    return this.#page.evaluate(() => {
      const here = document.activeElement
      return here === null || here === document.body
        ? ''
        : `${here.tagName.toLowerCase()} ${(here.id || here.textContent || '').trim()}`.slice(0, 80)
    })
  }

  /** From the top to the end and back: every stop once, and in the same order both ways. */
  async walk(): Promise<string[]> {
    const mark = () =>
      this.#page.evaluate(() => {
        const here = document.activeElement
        if (!here || here === document.body) return null
        here.setAttribute('data-stop', here.getAttribute('data-stop') ?? String(Math.random()))
        return here.getAttribute('data-stop')
      })
    await this.#page.evaluate(() => {
      const start = document.createElement('button')
      start.id = 'walk-start'
      document.body.prepend(start)
      start.focus()
    })
    const run = async (key: 'Tab' | 'Shift+Tab') => {
      const seen: string[] = []
      const words: string[] = []
      for (let stop = 0; stop < MOST_STOPS; stop += 1) {
        await this.press(key)
        const one = await this.#judged(key === 'Tab')
        const name = one ? await mark() : null
        // The parts of a date are stops of one field.
        if (name !== null && name === seen.at(-1)) continue
        if (!one || name === null || seen.includes(name)) return { seen, words }
        seen.push(name)
        words.push(one.what)
      }
      throw new Error(`The keyboard does not get out of ${this.#page.url()}.`)
    }
    const down = await run('Tab')
    await this.#page.evaluate(() => {
      document.getElementById('walk-start')?.remove()
      const end = document.createElement('button')
      end.id = 'walk-end'
      document.body.append(end)
      end.focus()
    })
    const up = await run('Shift+Tab')
    await this.#page.evaluate(() => document.getElementById('walk-end')?.remove())
    const { pathname } = new URL(this.#page.url())
    if (up.seen.toReversed().join() !== down.seen.join())
      this.faults.push(
        `${pathname}: forwards ${down.seen.length} stops, backwards ${up.seen.length}, not the same`,
      )
    const left = await this.#page.evaluate(() =>
      [
        ...document.querySelectorAll<HTMLElement>(
          'a[href], button, input:not([type=hidden]), select, textarea, summary',
        ),
      ]
        .filter((one) => {
          if (
            one.hasAttribute('data-stop') ||
            one.tabIndex < 0 ||
            !one.checkVisibility({ visibilityProperty: true })
          )
            return false
          if (
            (one as HTMLButtonElement).disabled ||
            (one.tagName === 'SUMMARY' && one.parentElement?.tagName !== 'DETAILS')
          )
            return false
          // Of a group of radio buttons the one that is chosen stands for all.
          return !(one instanceof HTMLInputElement && one.type === 'radio')
        })
        .map((one) => one.outerHTML.slice(0, 80)),
    )
    for (const one of left) this.faults.push(`${pathname}: the keyboard passes by ${one}`)
    return down.words
  }
}
