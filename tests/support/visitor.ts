// Somebody with a browser that has no script: follows links, fills in forms as they stand, keeps cookies.

import type { FastifyInstance } from 'fastify'
import { type HTMLElement, parse } from 'node-html-parser'
import { ORIGIN } from './cast.ts'
import { aForm } from './pictures.ts'

export interface Seen {
  url: string
  status: number
  page: HTMLElement
  text: string
}

export type FieldValue = string | number | boolean

export class Visitor {
  readonly #server: FastifyInstance
  readonly #cookies = new Map<string, string>()

  constructor(server: FastifyInstance) {
    this.#server = server
  }

  /** Takes over a session, as a `Cookie` header has it. */
  carry(cookie: string): void {
    const [name = '', ...value] = cookie.split('=')
    this.#cookies.set(name, value.join('='))
  }

  /** Presses the button of that name or address, which may send the form elsewhere, or ask with it. */
  async press(on: Seen, action: string, name: string, given: Record<string, FieldValue> = {}): Promise<Seen> {
    const form = on.page.querySelectorAll('form').find((one) => one.getAttribute('action') === action)
    const button = form
      ?.querySelectorAll('button')
      .find((one) => [one.getAttribute('name'), one.getAttribute('formaction')].includes(name))
    if (!button) throw new Error(`The form for ${action} on ${on.url} has no button ${name}.\n${on.text}`)
    return this.send(
      on,
      action,
      given,
      button.hasAttribute('name') ? { name, value: button.getAttribute('value') ?? '' } : undefined,
      { address: button.getAttribute('formaction'), method: button.getAttribute('formmethod') },
    )
  }

  async go(url: string): Promise<Seen> {
    return this.#ask('GET', url)
  }

  /**
   * Fills in the form that posts to `action` on the page and sends it. Each name given must be a control of that
   * form (marks such as `#` left aside); what is not given goes out as the form has it. Follows where it leads.
   */
  async send(
    on: Seen | string,
    action: string,
    given: Record<string, FieldValue> = {},
    button?: { name: string; value: string },
    elsewhere?: { address: string | undefined; method: string | undefined },
  ): Promise<Seen> {
    const seen = typeof on === 'string' ? await this.go(on) : on
    const form = seen.page.querySelectorAll('form').find((one) => one.getAttribute('action') === action)
    if (!form) {
      const there = seen.page.querySelectorAll('form').map((one) => one.getAttribute('action'))
      throw new Error(
        `${seen.url} (${seen.status}) has no form for ${action}; it has ${there.join(', ')}\n${seen.text.slice(0, 1500)}`,
      )
    }
    const fields = controlsOf(form)
    for (const outside of seen.page.querySelectorAll(`[form="${form.getAttribute('id') ?? '-'}"]`)) {
      const name = outside.getAttribute('name')
      if (name) fields.set(name, outside.getAttribute('value') ?? '')
    }
    for (const [name, value] of Object.entries(given)) {
      const control = nameIn(form, seen.page, name)
      if (!control) throw new Error(`The form for ${action} on ${seen.url} has no field ${name}.`)
      fields.set(control, typeof value === 'boolean' ? (value ? 'yes' : 'no') : String(value))
    }
    if (button) fields.set(button.name, button.value)
    const filled = new URLSearchParams([...fields]).toString()
    const address = elsewhere?.address ?? action
    return elsewhere?.method === 'get' ? this.go(`${address}?${filled}`) : this.#ask('POST', address, filled)
  }

  /** Chooses a picture under that heading and adds it. */
  async attach(on: Seen, heading: string, picture: Uint8Array): Promise<Seen> {
    const slot = on.page.querySelectorAll('.photo-slot').find((one) => one.text.includes(heading))
    const form = slot?.querySelector('form')
    if (!form) throw new Error(`${on.url} takes no photo of ${heading}.\n${on.text}`)
    const sent = aForm(Object.fromEntries(controlsOf(form)), { bytes: picture })
    return this.#ask('POST', form.getAttribute('action') ?? '', sent.payload, sent.headers['content-type'])
  }

  /** The value of a hidden or filled-in field, such as the fresh id that a form carries. */
  valueOf(seen: Seen, action: string, name: string): string {
    const form = seen.page.querySelectorAll('form').find((one) => one.getAttribute('action') === action)
    return (form && controlsOf(form).get(name)) ?? ''
  }

  async #ask(
    method: 'GET' | 'POST',
    url: string,
    payload?: string | Buffer,
    contentType = 'application/x-www-form-urlencoded',
  ): Promise<Seen> {
    let response = await this.#inject(method, url, payload, contentType)
    let at = url
    for (let hops = 0; response.statusCode === 303; hops += 1) {
      if (hops > 5) throw new Error(`${url} leads in a circle.`)
      at = String(response.headers.location)
      response = await this.#inject('GET', at)
    }
    const page = parse(response.body)
    // What only a script would take out, nobody sees here.
    for (const template of page.querySelectorAll('template')) template.remove()
    return {
      url: at,
      status: response.statusCode,
      page,
      text: page.querySelector('main')?.structuredText ?? response.body,
    }
  }

  async #inject(method: 'GET' | 'POST', url: string, payload?: string | Buffer, contentType = '') {
    const response = await this.#server.inject({
      method,
      url,
      headers: {
        origin: ORIGIN,
        cookie: [...this.#cookies].map(([name, value]) => `${name}=${value}`).join('; '),
        ...(payload === undefined ? {} : { 'content-type': contentType }),
      },
      ...(payload === undefined ? {} : { payload }),
    })
    for (const cookie of response.cookies) this.#cookies.set(cookie.name, cookie.value)
    return response
  }
}

function controlsOf(form: HTMLElement): Map<string, string> {
  const fields = new Map<string, string>()
  for (const control of form.querySelectorAll('input, select, textarea')) {
    const name = control.getAttribute('name')
    if (!name || control.hasAttribute('disabled')) continue
    const type = control.getAttribute('type')
    if (control.tagName === 'SELECT') {
      const options = control.querySelectorAll('option')
      const chosen = options.find((option) => option.hasAttribute('selected')) ?? options[0]
      fields.set(name, chosen?.getAttribute('value') ?? chosen?.text ?? '')
    } else if (control.tagName === 'TEXTAREA') fields.set(name, control.text)
    else if (type === 'radio' || type === 'checkbox') {
      if (control.hasAttribute('checked')) fields.set(name, control.getAttribute('value') ?? 'on')
    } else if (type !== 'submit' && type !== 'file') fields.set(name, control.getAttribute('value') ?? '')
  }
  return fields
}

/** The control's own name, which may carry a mark. */
function nameIn(form: HTMLElement, page: HTMLElement, name: string): string | null {
  const id = form.getAttribute('id')
  const controls = [
    ...form.querySelectorAll('input, select, textarea, button'),
    ...(id ? page.querySelectorAll(`[form="${id}"]`) : []),
  ]
  const names = controls.map((control) => control.getAttribute('name') ?? '')
  return names.find((one) => one === name) ?? names.find((one) => one.replace(/[#?@]$/, '') === name) ?? null
}
