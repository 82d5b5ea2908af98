// Can every part be sent under a strict content policy, read by everybody, and fed with hostile text?

import { readFileSync } from 'node:fs'
import { type HTMLElement, parse } from 'node-html-parser'
import { describe, expect, it } from 'vitest'
import { Gallery, SampleJointPage } from '../../views/gallery.tsx'
import { Layout, renderFragment, renderPage } from '../../views/layout.tsx'
import { Caution } from '../../views/parts/caution.tsx'
import { TextField } from '../../views/parts/field.tsx'
import { FindingList } from '../../views/parts/finding-list.tsx'
import { Flash } from '../../views/parts/flash.tsx'
import { JudgedNumber } from '../../views/parts/judged-number.tsx'
import { PipeStrip } from '../../views/parts/pipe-strip.tsx'
import { PointList } from '../../views/parts/point-list.tsx'
import { PressurePlot } from '../../views/parts/pressure-plot.tsx'
import { Steps } from '../../views/parts/steps.tsx'
import { the, words } from './drawn.ts'

const pages = {
  gallery: renderPage(<Gallery since="2026-03-04T15:10:00.000Z" />),
  'joint page': renderPage(<SampleJointPage />),
}
const css = readFileSync(new URL('../../views/assets/jointkeep.css', import.meta.url), 'utf8')

function every(root: HTMLElement): HTMLElement[] {
  return root.querySelectorAll('*')
}

describe.each(Object.entries(pages))('the %s', (_name, page) => {
  const root = parse(page)

  it('begins with a document type and has one main part that a skip link leads to', () => {
    expect(page.startsWith('<!doctype html><html lang="en">')).toBe(true)
    expect(root.querySelectorAll('main')).toHaveLength(1)
    expect(the(root, 'a.skip').getAttribute('href')).toBe('#page')
    expect(the(root, 'main').getAttribute('id')).toBe('page')
    expect(the(root, 'main').getAttribute('tabindex')).toBe('-1')
  })

  it('has no style attribute, no style element, no script of its own and no handler attribute', () => {
    expect(every(root).length).toBeGreaterThan(100)
    const offences = every(root).flatMap((element) =>
      Object.keys(element.attributes)
        .filter(
          (name) => name === 'style' || /^on/i.test(name) || name === 'hx-on' || name.startsWith('hx-on:'),
        )
        .map((name) => `${element.tagName} ${name}`),
    )
    expect(offences).toEqual([])
    expect(root.querySelectorAll('style')).toHaveLength(0)
    for (const script of root.querySelectorAll('script')) {
      expect(script.getAttribute('src')).toMatch(/^\/assets\/[a-z./-]+\.js$/)
      expect(script.hasAttribute('defer')).toBe(true)
      expect(script.textContent).toBe('')
    }
    expect(page).not.toMatch(/javascript:/i)
  })

  it('has every id once', () => {
    const ids = every(root).flatMap((element) => element.getAttribute('id') ?? [])
    expect(ids.filter((id, i) => ids.indexOf(id) !== i)).toEqual([])
  })

  it('has a control for each label, a label for each control, and a target for each description', () => {
    const ids = new Set(every(root).flatMap((element) => element.getAttribute('id') ?? []))
    for (const label of root.querySelectorAll('label[for]')) expect(ids).toContain(label.getAttribute('for'))
    for (const name of ['aria-describedby', 'aria-labelledby']) {
      for (const element of root.querySelectorAll(`[${name}]`)) {
        for (const id of (element.getAttribute(name) ?? '').split(' ')) expect(ids).toContain(id)
      }
    }
    const labelled = new Set(root.querySelectorAll('label[for]').map((label) => label.getAttribute('for')))
    const controls = root
      .querySelectorAll('input, select, textarea')
      .filter((one) => one.getAttribute('type') !== 'hidden')
    const bare = controls.filter(
      (one) =>
        !labelled.has(one.getAttribute('id')) &&
        one.getAttribute('aria-label') === undefined &&
        one.closest('label') === null,
    )
    expect(controls.length).toBeGreaterThan(1)
    expect(bare.map((one) => one.toString())).toEqual([])
  })

  it('names every picture or hides it', () => {
    const bare = root
      .querySelectorAll('svg')
      .filter(
        (svg) =>
          svg.getAttribute('aria-hidden') !== 'true' &&
          svg.getAttribute('aria-label') === undefined &&
          svg.getAttribute('aria-labelledby') === undefined,
      )
    expect(bare).toEqual([])
  })

  it('steps down its headings one level at a time', () => {
    const levels = root.querySelectorAll('h1, h2, h3, h4').map((heading) => Number(heading.tagName.slice(1)))
    expect(levels[0]).toBe(1)
    levels.slice(1).forEach((level, i) => {
      expect(level - (levels[i] ?? 0)).toBeLessThanOrEqual(1)
    })
  })
})

describe('the shell', () => {
  it('loads one stylesheet, then the shim before htmx, then the small script', () => {
    const root = parse(renderPage(<Layout title="Jobs" scripts={['/assets/outbox.js']} />))
    expect(root.querySelectorAll('link[rel="stylesheet"]').map((link) => link.getAttribute('href'))).toEqual([
      '/assets/jointkeep.css',
    ])
    expect(root.querySelectorAll('script').map((script) => script.getAttribute('src'))).toEqual([
      '/assets/htmx-shim.js',
      '/assets/htmx/htmx.min.js',
      '/assets/jointkeep.js',
      '/assets/outbox.js',
    ])
    expect(JSON.parse(the(root, 'meta[name="htmx-config"]').getAttribute('content') ?? '')).toEqual({
      includeIndicatorCSS: false,
    })
  })

  it('hides the waiting line while nothing waits and keeps its place for the phone', () => {
    const quiet = the(parse(renderPage(<Layout title="Jobs" />)), '#waiting')
    expect(quiet.hasAttribute('hidden')).toBe(true)
    const busy = the(
      parse(renderPage(<Layout title="Jobs" waiting="3 entries wait on this phone." />)),
      '#waiting',
    )
    expect(busy.hasAttribute('hidden')).toBe(false)
    expect(words(busy)).toBe('3 entries wait on this phone.')
  })

  it('marks the current place and shows nothing of a company to a stranger', () => {
    const stranger = parse(renderPage(<Layout title="Sign in" />))
    expect(stranger.querySelectorAll('header nav, .company, footer form, footer span')).toHaveLength(0)
    // Who can't read the page may not be able to sign in by it.
    expect(stranger.querySelectorAll('footer a').map(words)).toEqual(['Español'])
    const nav = parse(
      renderPage(
        <Layout
          title="Jobs"
          nav={[
            { href: '/jobs', label: 'Jobs', current: true },
            { href: '/find', label: 'Find' },
          ]}
        />,
      ),
    )
    expect(nav.querySelectorAll('[aria-current="page"]').map(words)).toEqual(['Jobs'])
  })

  it('signs out by a form, never by a link', () => {
    const root = parse(renderPage(<Layout title="Jobs" person="Ines" signOut="/sign-out" />))
    expect(the(root, 'footer form').getAttribute('method')).toBe('post')
    expect(the(root, 'footer form').getAttribute('action')).toBe('/sign-out')
  })
})

describe('hostile text', () => {
  const hostile = '"><script>alert(1)</script><img src=x onerror=alert(1)>\'&'
  const number = {
    value: hostile,
    unit: hostile,
    at: 1,
    low: 0,
    high: 2,
    verdict: hostile,
    outcome: 'met' as const,
    label: hostile,
    source: hostile,
  }
  const parts = {
    layout: (
      <Layout
        title={hostile}
        company={hostile}
        person={hostile}
        roleWords={hostile}
        waiting={hostile}
        nav={[{ href: '/x', label: hostile }]}
      />
    ),
    flash: <Flash kind="refused">{hostile}</Flash>,
    caution: <Caution harm="pressure">{hostile}</Caution>,
    field: (
      <TextField
        name="customerName"
        label={hostile}
        hint={hostile}
        form={{ values: { customerName: hostile }, errors: [{ path: 'customerName', message: hostile }] }}
      />
    ),
    points: (
      <PointList
        legend={hostile}
        points={[{ code: 'squareCut', label: hostile, why: hostile }]}
        form={{ values: { 'points.squareCut': 'no', 'reasons.squareCut': hostile }, errors: [] }}
      />
    ),
    steps: (
      <Steps
        label={hostile}
        steps={[{ id: 'a', title: hostile, state: 'recorded', summary: hostile, who: hostile }]}
      />
    ),
    findings: (
      <FindingList
        findings={[
          {
            id: 'a',
            requirement: 'a',
            title: hostile,
            subject: hostile,
            outcome: 'failed',
            reason: hostile,
            nextAction: hostile,
            numbers: [number],
          },
        ]}
      />
    ),
    number: <JudgedNumber {...number} />,
    strip: (
      <PipeStrip
        label={hostile}
        outdoor={{ name: hostile, detail: hostile }}
        branches={[{ id: 'b', name: hostile }]}
        lineSets={[
          {
            id: 'l',
            name: hostile,
            detail: hostile,
            liquidLabel: hostile,
            gasLabel: hostile,
            lengthLabel: hostile,
            joints: [
              {
                id: 'j',
                tag: hostile,
                place: hostile,
                line: 'gas',
                at: 0,
                state: 'done',
                href: '/joints/1',
                words: hostile,
              },
            ],
          },
        ]}
      />
    ),
    plot: (
      <PressurePlot
        id="p"
        title={hostile}
        unit={hostile}
        verdict={hostile}
        readings={[
          { minutes: 0, stage: 'hold', gaugePressure: 4, pressureTyped: hostile, temperatureTyped: hostile },
        ]}
        limit={{ value: 5, label: hostile }}
      />
    ),
  }

  it.each(Object.entries(parts))('stays text in: %s', (_name, part) => {
    const markup = renderFragment(part)
    expect(markup).toContain('&lt;script>')
    expect(markup).not.toContain('<script>alert')
    expect(markup).not.toContain('<img')
    const root = parse(markup)
    expect(
      root.querySelectorAll('script').filter((script) => script.getAttribute('src') === undefined),
    ).toHaveLength(0)
    expect(
      every(root)
        .flatMap((element) => Object.keys(element.attributes))
        .filter((name) => /^on/i.test(name)),
    ).toEqual([])
  })
})

describe('the stylesheet', () => {
  const light = tokens(css.slice(css.indexOf(':root'), css.indexOf('@media')))
  const dark = {
    ...light,
    ...tokens(css.slice(css.indexOf('@media (prefers-color-scheme: dark)'), css.indexOf('/* ---- ground'))),
  }

  const text = ['ink', 'soft', 'copper'] as const
  const grounds = ['paper', 'sheet'] as const
  const pairs = [
    ...text.flatMap((ink) => grounds.map((ground) => [ink, ground] as const)),
    ['needs', 'needs-bg'] as const,
    ['needs', 'sheet'] as const,
    ['refused', 'refused-bg'] as const,
    ['refused', 'sheet'] as const,
    ['refused', 'paper'] as const,
    ['ink', 'refused-bg'] as const,
    ['ink', 'needs-bg'] as const,
    ['ink', 'done-bg'] as const,
    ['paper', 'ink'] as const,
  ]

  it.each(pairs)('%s on %s has a contrast of 7 or more, in light and in dark', (ink, ground) => {
    expect(contrast(light[ink], light[ground])).toBeGreaterThanOrEqual(7)
    expect(contrast(dark[ink], dark[ground])).toBeGreaterThanOrEqual(7)
  })

  it.each(['edge', 'focus', 'copper-line'])('%s, which only draws, has a contrast of 3 or more', (ink) => {
    for (const ground of grounds) {
      expect(contrast(light[ink], light[ground])).toBeGreaterThanOrEqual(3)
      expect(contrast(dark[ink], dark[ground])).toBeGreaterThanOrEqual(3)
    }
  })

  it('fetches nothing and uses no colour that is not a token', () => {
    expect(css).not.toMatch(/@import|url\(/)
    const outside = css.replace(/:root\s*\{[^}]*\}/g, '')
    expect(outside.match(/#[0-9a-f]{3,8}\b/gi) ?? []).toEqual([])
  })

  it('gives controls the height of a thumb', () => {
    expect(light.tap).toBe('3rem')
    expect(css).toMatch(/input,\s*select,\s*textarea,\s*button,\s*\.button \{[^}]*min-height: var\(--tap\)/)
  })
})

describe('the scripts', () => {
  const scripts = ['htmx-shim.js', 'jointkeep.js'].map((name) =>
    readFileSync(new URL(`../../views/assets/${name}`, import.meta.url), 'utf8'),
  )
  it.each(scripts)('make no markup and no code from text', (script) => {
    expect(script.length).toBeGreaterThan(50)
    expect(script).not.toMatch(
      /\beval\b|new Function|innerHTML|outerHTML|insertAdjacentHTML|document\.write|\.style\.cssText|setAttribute\('style'/,
    )
  })
})

function tokens(rule: string): Record<string, string> {
  return Object.fromEntries(
    [...rule.matchAll(/--([a-z-]+):\s*([^;]+);/g)].map((match) => [match[1] ?? '', match[2] ?? '']),
  )
}

/** WCAG 2.2, relative luminance and contrast ratio. */
function contrast(a: string | undefined, b: string | undefined): number {
  const [light, dark] = [luminance(a), luminance(b)].sort((x, y) => y - x) as [number, number]
  return (light + 0.05) / (dark + 0.05)
}

function luminance(colour: string | undefined): number {
  const match = /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec(colour ?? '')
  if (match === null) throw new Error(`not a colour: ${colour}`)
  const [r, g, b] = match.slice(1).map((pair) => {
    const part = Number.parseInt(pair, 16) / 255
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4
  }) as [number, number, number]
  return 0.2126 * r + 0.7152 * g + 0.0722 * b
}
