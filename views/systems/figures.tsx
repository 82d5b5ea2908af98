// To which torque, and how wide a flare, for each tube of this system? And who says so?

import type { JSX } from 'preact'
import type { Shell } from '../../server/http/shell.ts'
import { formatNumber, fromNewtonMetres } from '../../server/trade/units.ts'
import { coded } from '../../server/words/coded.ts'
import { say } from '../../server/words/say.ts'
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
    <Layout {...props.shell} title={say.systems.torqueAndFlaresOf(system.name)} width="narrow">
      <h1>{say.systems.torqueAndFlaresOf(system.name)}</h1>
      <p class="lead">
        {back === null ? (
          <a href={`/systems/${system.id}`}>{say.systems.backToTheSystem}</a>
        ) : (
          <a href={`/joints/${back.jointId}${back.jobId ? `?job=${back.jobId}` : ''}`}>
            {say.systems.backToTheJoint}
          </a>
        )}
      </p>
      <Caution harm={['pressure', 'environment']}>{say.systems.whereTheManualSays}</Caution>
      <section class="sheet" aria-labelledby="these">
        <h2 id="these">{say.systems.forThisSystem}</h2>
        {sheet === null ? (
          <p>
            {say.systems.noEquipmentSheetIs(<a href="/equipment-sheets/new">{say.systems.enterASheet}</a>)}
          </p>
        ) : (
          <p>
            {say.systems.page2(
              <a href={`/equipment-sheets/${sheet.id}`}>{sheet.name}</a>,
              sheet.document,
              sheet.page,
            )}
          </p>
        )}
        {props.sizes.length === 0 ? <p class="soft">{say.systems.noLineSetAnd}</p> : null}
        <dl class="size-figures">
          {props.sizes.map((one) => (
            <div key={one.tubeOdM}>
              <dt>{one.size}</dt>
              <dd>
                {one.torque === null ? (
                  <p>{say.systems.torqueNoFigureLook}</p>
                ) : (
                  <p>
                    {say.systems.torque(
                      <b>
                        {formatNumber(one.torque.lowNm)}–{formatNumber(one.torque.highNm)} N·m
                      </b>,
                      imperial(one.torque.lowNm, one.torque.highNm),
                    )}
                    <Source {...one.torque} />
                  </p>
                )}
                {one.flare === null ? (
                  <p>{say.systems.flareNoFigureLook}</p>
                ) : (
                  <p>
                    {say.systems.flareAcross(<b>{millimetres(one.flare)} mm</b>)}
                    <Source {...one.flare} />
                  </p>
                )}
              </dd>
            </div>
          ))}
        </dl>
      </section>
      <section class="sheet" aria-labelledby="general">
        <h2 id="general">{say.systems.asPrintedInGeneral}</h2>
        <p class="why">{say.systems.forFlareNutsWhere}</p>
        {props.families.map((family) => (
          <table key={family.code}>
            <caption>
              {family.name}
              {family.isUsed ? say.systems.yourCompanyJudgesBy : ''}
            </caption>
            <thead>
              <tr>
                <th scope="col">{say.systems.tube}</th>
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
                  {say.systems.source(family.source)}
                </td>
              </tr>
            </tfoot>
          </table>
        ))}
        <table>
          <caption>{say.systems.flareDiameter(coded(props.flares.flareClass))}</caption>
          <thead>
            <tr>
              <th scope="col">{say.systems.tube}</th>
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
                {say.systems.source(props.flares.source)}
              </td>
            </tr>
          </tfoot>
        </table>
        <p>
          <a href="/calculators/torque-setting">{say.systems.whatToSetOn}</a>
        </p>
      </section>
    </Layout>
  )
}

function Source({ source, ownSheet }: { source: string; ownSheet: boolean }): JSX.Element {
  return (
    <span class="figure-source">
      {ownSheet ? say.systems.fromItsEquipmentSheet : say.systems.notOnTheSheet(source)}
    </span>
  )
}

const imperial = (lowNm: number, highNm: number): string =>
  `${[lowNm, highNm].map((value) => formatNumber(fromNewtonMetres(value, 'ft.lbf'), 1)).join('–')}\u00a0ft·lbf`

const millimetres = ({ lowM, highM }: { lowM: number; highM: number }): string =>
  [lowM, highM].map((value) => formatNumber(value * 1000, 1)).join('–')
