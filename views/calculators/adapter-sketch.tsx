// Which lengths and which angle does the adapter's formula mean?

import type { JSX } from 'preact'
import { say } from '../../server/words/say.ts'

export interface AdapterSketchProps {
  wrenchLength: string
  offset: string
  /** Of the offset to the wrench, as a share of it; negative when turned back. */
  ratio: number
  angleDegrees: number
}

const DRIVE = { x: 170, y: 92 }
const GRIP_X = 24

export function AdapterSketch(props: AdapterSketchProps): JSX.Element {
  const reach =
    Math.max(34, Math.min(110, Math.abs(props.ratio) * (DRIVE.x - GRIP_X))) * (props.ratio < 0 ? -1 : 1)
  const angle = (props.angleDegrees * Math.PI) / 180
  const nut = { x: DRIVE.x + reach * Math.cos(angle), y: DRIVE.y - reach * Math.sin(angle) }
  const turned = Math.abs(Math.sin(angle)) > 0.01
  const hex = Array.from({ length: 6 }, (_, index) => {
    const turn = (index * Math.PI) / 3
    return `${(nut.x + 12 * Math.cos(turn)).toFixed(1)},${(nut.y + 12 * Math.sin(turn)).toFixed(1)}`
  }).join(' ')
  return (
    <figure class="sketch">
      <svg viewBox="0 0 300 190" role="img" aria-labelledby="sketch-title sketch-desc">
        <title id="sketch-title">{say.calculators.wrenchAndAdapter}</title>
        <desc id="sketch-desc">
          {say.calculators.lFromTheGrip(
            props.wrenchLength,
            props.offset,
            turned
              ? say.calculators.turnedByDegreesFrom(props.angleDegrees)
              : props.ratio < 0
                ? say.calculators.turnedBackOverThe
                : say.calculators.inLine,
          )}
        </desc>
        <path class="sketch-wrench" d={`M${GRIP_X} ${DRIVE.y}H${DRIVE.x}`} />
        <path class="sketch-grip" d={`M${GRIP_X} ${DRIVE.y}h44`} />
        <path class="sketch-adapter" d={`M${DRIVE.x} ${DRIVE.y}L${nut.x.toFixed(1)} ${nut.y.toFixed(1)}`} />
        {turned ? <path class="sketch-line" d={`M${DRIVE.x} ${DRIVE.y}h70`} stroke-dasharray="3 4" /> : null}
        <polygon class="sketch-nut" points={hex} />
        <circle class="sketch-drive" cx={DRIVE.x} cy={DRIVE.y} r="6" />
        <path class="sketch-line" d={`M46 132v16M${DRIVE.x} 132v16M46 140H${DRIVE.x}`} />
        <text class="curve-text" x={(46 + DRIVE.x) / 2} y="158" text-anchor="middle">
          {`L ${props.wrenchLength}`}
        </text>
        <text
          class="curve-text curve-halo"
          x={((DRIVE.x + nut.x) / 2).toFixed(1)}
          y={(Math.min(DRIVE.y, nut.y, (DRIVE.y + nut.y) / 2) - 18).toFixed(1)}
          text-anchor="middle"
        >
          {`E ${props.offset}${turned ? `, a ${props.angleDegrees}°` : ''}`}
        </text>
        <text class="curve-text" x="46" y="78" text-anchor="middle">
          {say.calculators.pullHere}
        </text>
        <path class="sketch-line" d="M46 100v22m-4 -7l4 7l4 -7" />
      </svg>
    </figure>
  )
}
