// How does a sentence hold a piece of markup, such as a link, wherever a language wants it?

import type { ComponentChildren } from 'preact'

export type Part = ComponentChildren

/** A sentence with markup in it, as the pieces that a page puts one after another. */
export const phrase = (texts: TemplateStringsArray, ...parts: Part[]): Part =>
  texts.flatMap((text, index) => (index < parts.length ? [text, parts[index]] : [text]))
