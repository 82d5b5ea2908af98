// To which torque, and how wide a flare, for each tube of this system? And who says so?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { formatNumber, fromNewtonMetres } from '../../server/trade/units.ts'
import { Layout } from '../layout.tsx'
import { Caution } from '../parts/caution.tsx'

export interface SizeFigures {
  tubeOdM: number
  /** "1/4 in" */
  size: string
  torque: { lowNm: number; highNm: number; source: string; ownSheet: boolean } | null
  flare: { lowM: number; highM: number; source: string; ownSheet: boolean } | null
}

export interface FiguresPageProps {
  shell: Shell
  system: { id: string; name: string }
  sheet: { id: string; name: string; document: string; page: string } | null
  /** Where somebody came from. */
  back: { jointId: string; jobId: string | undefined } | null
  sizes: readonly SizeFigures[]
  families: readonly {
    code: string
    name: string
    source: string
    /** The company judges by it where a sheet states nothing. */
    isUsed: boolean
    ranges: readonly { size: string; lowNm: number; highNm: number }[]
  }[]
  flares: {
    flareClass: string
    source: string
    bands: readonly { size: string; lowM: number; highM: number }[]
  }
}

export function FiguresPage(props: FiguresPageProps): JSX.Element {
  const { system, sheet, back } = props
  return (
    <Layout {...props.shell} title={`Torque and flares of ${system.name}`} width="narrow">
      <h1>Torque and flares of {system.name}</h1>
      <p class="lead">
        {back === null ? (
          <a href={`/systems/${system.id}`}>Back to the system</a>
        ) : (
          <a href={`/joints/${back.jointId}${back.jobId ? `?job=${back.jobId}` : ''}`}>Back to the joint</a>
        )}
      </p>
      <Caution harm={['pressure', 'environment']}>
        Where the manual says otherwise than this page, the manual holds. Never tighten or loosen under
        pressure.
      </Caution>
      <section class="sheet" aria-labelledby="these">
        <h2 id="these">For this system</h2>
        {sheet === null ? (
          <p>
            No equipment sheet is chosen, so these are general figures. Read the manual’s own, and{' '}
            <a href="/equipment-sheets/new">enter a sheet</a>.
          </p>
        ) : (
          <p>
            <a href={`/equipment-sheets/${sheet.id}`}>{sheet.name}</a>, {sheet.document}, page {sheet.page}.
          </p>
        )}
        {props.sizes.length === 0 ? <p class="soft">No line set and no figures on the sheet yet.</p> : null}
        <dl class="size-figures">
          {props.sizes.map((one) => (
            <div key={one.tubeOdM}>
              <dt>{one.size}</dt>
              <dd>
                {one.torque === null ? (
                  <p>Torque: no figure. Look it up in the manual.</p>
                ) : (
                  <p>
                    Torque{' '}
                    <b>
                      {formatNumber(one.torque.lowNm)}–{formatNumber(one.torque.highNm)} N·m
                    </b>
                    , {imperial(one.torque.lowNm, one.torque.highNm)}
                    <Source {...one.torque} />
                  </p>
                )}
                {one.flare === null ? (
                  <p>Flare: no figure. Look it up in the manual.</p>
                ) : (
                  <p>
                    Flare <b>{millimetres(one.flare)} mm</b> across
                    <Source {...one.flare} />
                  </p>
                )}
              </dd>
            </div>
          ))}
        </dl>
      </section>
      <section class="sheet" aria-labelledby="general">
        <h2 id="general">As printed in general</h2>
        <p class="why">
          For flare nuts, where the equipment’s own manual states nothing. The sets differ: never take one end
          of a range from one and the other end from another.
        </p>
        {props.families.map((family) => (
          <table key={family.code}>
            <caption>
              {family.name}
              {family.isUsed ? ': your company judges by it' : ''}
            </caption>
            <thead>
              <tr>
                <th scope="col">Tube</th>
                <th scope="col" class="figure">
                  N·m
                </th>
                <th scope="col" class="figure">
                  ft·lbf
                </th>
              </tr>
            </thead>
            <tbody>
              {family.ranges.map((range) => (
                <tr key={range.size}>
                  <th scope="row">{range.size}</th>
                  <td class="figure">
                    {formatNumber(range.lowNm)}–{formatNumber(range.highNm)}
                  </td>
                  <td class="figure">{imperial(range.lowNm, range.highNm).replace('\u00a0ft·lbf', '')}</td>
                </tr>
              ))}
            </tbody>
            <tfoot>
              <tr>
                <td colspan={3} class="soft">
                  Source: {family.source}
                </td>
              </tr>
            </tfoot>
          </table>
        ))}
        <table>
          <caption>Flare diameter, {props.flares.flareClass.replace('-', ' ')}</caption>
          <thead>
            <tr>
              <th scope="col">Tube</th>
              <th scope="col" class="figure">
                mm
              </th>
            </tr>
          </thead>
          <tbody>
            {props.flares.bands.map((band) => (
              <tr key={band.size}>
                <th scope="row">{band.size}</th>
                <td class="figure">{millimetres(band)}</td>
              </tr>
            ))}
          </tbody>
          <tfoot>
            <tr>
              <td colspan={2} class="soft">
                Source: {props.flares.source}
              </td>
            </tr>
          </tfoot>
        </table>
        <p>
          <a href="/calculators/torque-setting">What to set on a wrench, also with an adapter</a>
        </p>
      </section>
    </Layout>
  )
}

function Source({ source, ownSheet }: { source: string; ownSheet: boolean }): JSX.Element {
  return (
    <span class="figure-source">{ownSheet ? 'from its equipment sheet' : `not on the sheet: ${source}`}</span>
  )
}

const imperial = (lowNm: number, highNm: number): string =>
  `${[lowNm, highNm].map((value) => formatNumber(fromNewtonMetres(value, 'ft.lbf'), 1)).join('–')}\u00a0ft·lbf`

const millimetres = ({ lowM, highM }: { lowM: number; highM: number }): string =>
  [lowM, highM].map((value) => formatNumber(value * 1000, 1)).join('–')
