// How does a test read a drawn part?

import { type HTMLElement, parse } from 'node-html-parser'
import type { VNode } from 'preact'
import { renderToString } from 'preact-render-to-string'

export function drawn(part: VNode): HTMLElement {
  return parse(renderToString(part))
}

/** The words as a reader meets them, with the gaps evened out. */
export function words(element: HTMLElement | null): string {
  return (element?.textContent ?? '').replace(/\s+/g, ' ').trim()
}

export function numberOf(element: HTMLElement | null, name: string): number {
  const value = element?.getAttribute(name)
  if (value === undefined) throw new Error(`no ${name} on ${element?.toString().slice(0, 80)}`)
  return Number(value)
}

export function the(root: HTMLElement, selector: string): HTMLElement {
  const found = root.querySelector(selector)
  if (found === null) throw new Error(`nothing matches ${selector}`)
  return found
}
