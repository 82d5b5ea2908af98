// Does a form keep what was typed, say what is wrong beside the field, and work without script?

import { describe, expect, it } from 'vitest'
import {
  AreaField,
  CheckField,
  ChoiceField,
  type FormState,
  fieldId,
  OtherErrors,
  PhotoField,
  QuantityField,
  SelectField,
  TextField,
} from '../../views/parts/field.tsx'
import { LiveRange } from '../../views/parts/live-range.tsx'
import { PointList } from '../../views/parts/point-list.tsx'
import { drawn, numberOf, the, words } from './drawn.ts'

const came: FormState = {
  values: {
    customerName: 'Ada & sons',
    note: 'two\nlines',
    wrench: 'w9',
    'reading.value': '3x8',
    'reading.unit': 'ft.lbf',
  },
  errors: [
    { path: 'reading.value', message: 'Type it like 38.4.' },
    { path: 'customerName', message: 'Say who the customer is.' },
  ],
}
const units = [
  { value: 'N.m', label: 'N·m', factor: 1 },
  { value: 'ft.lbf', label: 'ft·lbf', factor: 1.3558179 },
]

describe('a field', () => {
  it('that is right carries its label and no complaint', () => {
    const root = drawn(<TextField name="site.address" label="Address" required />)
    const input = the(root, 'input')
    expect(the(root, 'label').getAttribute('for')).toBe(input.getAttribute('id'))
    expect(input.getAttribute('id')).toBe('f-site-address')
    expect(input.getAttribute('name')).toBe('site.address')
    expect(input.hasAttribute('required')).toBe(true)
    expect(input.hasAttribute('aria-invalid')).toBe(false)
    expect(input.hasAttribute('aria-describedby')).toBe(false)
  })

  it('that is wrong stays filled, and its message is tied to it after its hint', () => {
    const root = drawn(<TextField name="customerName" label="Customer" hint="As on the bill." form={came} />)
    const input = the(root, 'input')
    expect(input.getAttribute('value')).toBe('Ada & sons')
    expect(input.getAttribute('aria-invalid')).toBe('true')
    expect(input.getAttribute('aria-describedby')).toBe('f-customerName-hint f-customerName-error')
    expect(words(the(root, '#f-customerName-error'))).toBe('Say who the customer is.')
  })

  it('takes the focus only where the first error is', () => {
    expect(
      the(drawn(<TextField name="customerName" label="Customer" form={came} />), 'input').hasAttribute(
        'autofocus',
      ),
    ).toBe(false)
    const quantity = drawn(
      <QuantityField name="reading" label="Reading" quantity="torque" units={units} unit="N.m" form={came} />,
    )
    expect(the(quantity, 'input').hasAttribute('autofocus')).toBe(true)
    const wished = drawn(<TextField name="q" label="Find" autofocus form={came} />)
    expect(the(wished, 'input').hasAttribute('autofocus')).toBe(false)
    expect(the(drawn(<TextField name="q" label="Find" autofocus />), 'input').hasAttribute('autofocus')).toBe(
      true,
    )
  })

  it('never gives a password back', () => {
    const root = drawn(
      <TextField
        name="password"
        label="Password"
        type="password"
        form={{ values: { password: 'secret' }, errors: [] }}
      />,
    )
    expect(root.toString()).not.toContain('secret')
  })

  it('keeps line breaks, the chosen line and the tick', () => {
    expect(the(drawn(<AreaField name="note" label="Note" form={came} />), 'textarea').textContent).toBe(
      'two\nlines',
    )
    const select = drawn(
      <SelectField
        name="wrench"
        label="Wrench"
        form={came}
        choose="Choose"
        options={[
          { value: 'w7', label: 'Wrench 7' },
          { value: 'w9', label: 'Wrench 9' },
        ]}
      />,
    )
    expect(select.querySelectorAll('option[selected]').map((option) => option.getAttribute('value'))).toEqual(
      ['w9'],
    )
    const check = (values: Record<string, string>) =>
      the(drawn(<CheckField name="mark" label="Mark" form={{ values, errors: [] }} />), 'input').hasAttribute(
        'checked',
      )
    expect(check({ mark: 'true' })).toBe(true)
    expect(check({})).toBe(false)
    const choice = drawn(
      <ChoiceField
        name="mounting"
        label="Mounting"
        value="wall"
        options={[
          { value: 'floor', label: 'Floor' },
          { value: 'wall', label: 'Wall' },
        ]}
      />,
    )
    expect(choice.querySelectorAll('input[checked]').map((input) => input.getAttribute('value'))).toEqual([
      'wall',
    ])
    expect(words(the(choice, 'legend'))).toBe('Mounting')
  })

  it('of two forms on one page has two ids', () => {
    expect(fieldId('reading', { values: {}, errors: [], scope: 'a' })).not.toBe(
      fieldId('reading', { values: {}, errors: [], scope: 'b' }),
    )
  })

  it('for photos opens the camera or the pictures, no other files', () => {
    expect(the(drawn(<PhotoField name="photo" label="Photo" />), 'input').getAttribute('accept')).toMatch(
      /^image\/jpeg,/,
    )
  })

  it('messages that belong to no field are said on top, the others are not said twice', () => {
    const form = { ...came, errors: [...came.errors, { path: 'job', message: 'The job is sealed.' }] }
    expect(
      words(the(drawn(<OtherErrors form={form} fields={['reading', 'customerName']} />), '[role="alert"]')),
    ).toBe('The job is sealed.')
    expect(drawn(<OtherErrors form={came} fields={['reading', 'customerName']} />).toString()).toBe('')
  })
})

describe('a quantity', () => {
  const root = drawn(
    <QuantityField name="reading" label="Reading" quantity="torque" units={units} unit="N.m" form={came} />,
  )

  it('posts value and unit apart, as typed, and keeps the unit that came back', () => {
    expect(root.querySelectorAll('input, select').map((one) => one.getAttribute('name'))).toEqual([
      'reading.value',
      'reading.unit',
    ])
    expect(the(root, 'input').getAttribute('value')).toBe('3x8')
    expect(the(root, 'input').getAttribute('inputmode')).toBe('decimal')
    expect(the(root, 'input').getAttribute('type')).toBe('text')
    expect(the(root, 'option[selected]').getAttribute('value')).toBe('ft.lbf')
  })

  it('shows the message of its parts', () => {
    expect(words(the(root, '#f-reading-error'))).toBe('Type it like 38.4.')
    expect(the(root, 'input').getAttribute('aria-describedby')).toBe('f-reading-error')
  })

  it('hands the factors to the page only when every unit has one', () => {
    expect(JSON.parse(the(root, '.quantity').getAttribute('data-units') ?? '')).toEqual([
      { unit: 'N.m', label: 'N·m', factor: 1, offset: 0 },
      { unit: 'ft.lbf', label: 'ft·lbf', factor: 1.3558179, offset: 0 },
    ])
    const bare = drawn(
      <QuantityField name="r" label="R" quantity="x" units={[{ value: 'm', label: 'm' }]} unit="m" />,
    )
    expect(the(bare, '.quantity').hasAttribute('data-units')).toBe(false)
  })

  it('with one unit still posts it', () => {
    const bare = drawn(
      <QuantityField
        name="len"
        label="Length"
        quantity="length"
        units={[{ value: 'm', label: 'm' }]}
        unit="m"
      />,
    )
    expect(the(bare, 'input[type="hidden"]').getAttribute('name')).toBe('len.unit')
    expect(the(bare, 'input[type="hidden"]').getAttribute('value')).toBe('m')
  })

  it('the range bar beside it knows whom to follow and what to say', () => {
    const live = the(
      drawn(
        <LiveRange
          for={fieldId('reading')}
          label="Torque"
          low={34}
          high={42}
          unit="N.m"
          unitLabel="N·m"
          accuracyPercent={4}
          words={{ within: 'In range.', below: 'Below.', above: 'Above.' }}
        />,
      ),
      '.live-range',
    )
    expect(live.getAttribute('data-live-range')).toBe(the(root, 'input').getAttribute('id'))
    expect(['low', 'high', 'from', 'to', 'accuracy'].map((name) => numberOf(live, `data-${name}`))).toEqual([
      34, 42, 30, 46, 4,
    ])
    expect(words(the(live, 'output'))).toBe('Wanted 34–42 N·m.')
    expect(the(live, '[data-live="tick"]').getAttribute('d')).toBe('')
  })
})

describe('a point list', () => {
  const points = [
    { code: 'squareCut', label: 'Cut square' },
    { code: 'deburred', label: 'Deburred' },
  ]

  it('shows all points, folded, each of them yes, and one button for all', () => {
    const root = drawn(<PointList legend="Preparation" points={points} />)
    expect(root.querySelectorAll('.point-words').map(words)).toEqual(['Cut square', 'Deburred'])
    expect(root.querySelectorAll('details[open]')).toHaveLength(0)
    expect(
      root
        .querySelectorAll('input[checked]')
        .map((input) => [input.getAttribute('name'), input.getAttribute('value')]),
    ).toEqual([
      ['points.squareCut', 'yes'],
      ['points.deburred', 'yes'],
    ])
    const button = the(root, 'button[name="allAsListed"]')
    expect([button.getAttribute('type'), button.getAttribute('value'), words(button)]).toEqual([
      'submit',
      'true',
      'All as listed',
    ])
    expect(root.querySelectorAll('button')[0]).toBe(button)
    expect(the(root, 'button.as-marked').hasAttribute('name')).toBe(false)
  })

  it('each line is an exception with three answers and a reason', () => {
    const root = drawn(<PointList legend="Preparation" points={points} />)
    const [line] = root.querySelectorAll('details')
    expect(line?.querySelectorAll('input[type="radio"]').map((input) => input.getAttribute('value'))).toEqual(
      ['yes', 'no', 'not-applicable'],
    )
    expect(line?.querySelector('input[type="text"]')?.getAttribute('name')).toBe('reasons.squareCut')
  })

  it('a line that was marked stays open though nothing is wrong with it', () => {
    const form = {
      values: { 'points.squareCut': 'not-applicable', 'reasons.squareCut': 'made in the factory' },
      errors: [],
    }
    const root = drawn(<PointList legend="Preparation" points={points} form={form} />)
    expect(root.querySelectorAll('details').map((line) => line.hasAttribute('open'))).toEqual([true, false])
  })

  it('that came back keeps the exception open, with its reason and its message', () => {
    const root = drawn(
      <PointList
        legend="Preparation"
        points={points}
        form={{
          values: { 'points.deburred': 'no', 'reasons.deburred': 'worn blade' },
          errors: [{ path: 'reasons.deburred', message: 'Say more.' }],
        }}
      />,
    )
    const open = root.querySelectorAll('details[open]')
    expect(open).toHaveLength(1)
    const reason = the(root, '[name="reasons.deburred"]')
    expect(reason.getAttribute('value')).toBe('worn blade')
    expect(reason.getAttribute('aria-invalid')).toBe('true')
    expect(words(the(root, `#${reason.getAttribute('aria-describedby')}`))).toBe('Say more.')
    expect(reason.hasAttribute('autofocus')).toBe(true)
    expect(the(root, '[name="points.deburred"][checked]').getAttribute('value')).toBe('no')
  })
})
