// Is it told from the record alone whether a unit is in warranty, and by when to claim?

import { describe, expect, it } from 'vitest'
import { type UnitPapers, warrantyStanding } from '../../server/rules/warranty-standing.ts'

const day = (text: string) => Date.parse(`${text}T12:00:00Z`)
const unit = (papers: Partial<UnitPapers> = {}): UnitPapers => ({
  id: 'u',
  installedAt: day('2024-05-01'),
  warrantyStartAt: null,
  warrantyEndAt: null,
  registeredWithMaker: false,
  ...papers,
})

describe('a warranty', () => {
  it.each([
    ['nothing recorded', {}, 'not-recorded', null],
    ['a first day alone', { warrantyStartAt: day('2024-05-01') }, 'end-not-recorded', null],
    ['a last day ahead', { warrantyEndAt: day('2026-03-05') }, 'in', 1],
    ['a last day that is today', { warrantyEndAt: day('2026-03-04') }, 'in', 0],
    ['a last day that was yesterday', { warrantyEndAt: day('2026-03-03') }, 'over', -1],
    [
      'a first day ahead',
      { warrantyStartAt: day('2026-03-05'), warrantyEndAt: day('2027-03-05') },
      'not-begun',
      366,
    ],
  ] as const)('with %s', (_what, papers, state, daysLeft) => {
    // Late in the evening of the day asked about: the last day counts whole.
    const told = warrantyStanding(unit(papers), Date.parse('2026-03-04T23:30:00Z'), null)
    expect([told.state, told.daysLeft]).toEqual([state, daysLeft])
  })
})

describe('the day to claim by', () => {
  const at = day('2026-03-04')
  it('is the last day of a warranty that runs, and none where it is over or not recorded', () => {
    const by = (papers: Partial<UnitPapers>) => warrantyStanding(unit(papers), at, null).claimBy
    expect(by({ warrantyEndAt: day('2026-09-01') })).toEqual({ at: day('2026-09-01'), from: 'warranty-end' })
    expect(by({ warrantyEndAt: day('2025-09-01') })).toBeNull()
    expect(by({})).toBeNull()
  })

  it('is what the claim says, whatever else is recorded', () => {
    const told = warrantyStanding(unit({ warrantyEndAt: day('2026-09-01') }), at, day('2026-03-20'))
    expect(told.claimBy).toEqual({ at: day('2026-03-20'), from: 'claim' })
  })
})
