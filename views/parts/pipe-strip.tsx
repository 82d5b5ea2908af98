// Where does each joint sit in this system, and how far is it?

import type { JSX } from 'preact'
import { coded } from '../../server/words/coded.ts'
import { say } from '../../server/words/say.ts'
import { JointMark, type JointState, jointStateWords } from './mark.tsx'

export interface PipeStripJoint {
  id: string
  /** As it is written on the pipe: "SM9-11". */
  tag: string
  /** In words: "indoor end", "coupling in the loft". */
  place: string
  line: 'liquid' | 'gas'
  /** 0 at the end the line comes from (outdoor or branch unit), 1 at the unit it runs to. */
  at: number
  /** A port or cap that stands off the pipe on a stub. */
  onStub?: boolean | undefined
  state: JointState
  /** The joint this page is about. */
  current?: boolean | undefined
  href?: string | undefined
  /** What there is to say about it, for the text: "torque 19.0 N·m, above 14–18". */
  words: string
}

export interface PipeStripLineSet {
  id: string
  /** The unit it runs to: "Kitchen". */
  name: string
  /** "wall, 22 m²" */
  detail?: string | undefined
  /** "liquid 1/4" */
  liquidLabel: string
  /** "gas 3/8" */
  gasLabel: string
  /** "11.2 m" */
  lengthLabel?: string | undefined
  /** The branch unit it comes from; default the outdoor unit. */
  from?: string | undefined
  /** The branch unit it runs to; its own name is then not drawn. */
  to?: string | undefined
  joints: readonly PipeStripJoint[]
}

export interface PipeStripProps {
  /** Of what: "System SM9, as piped". */
  label: string
  outdoor: { name: string; detail?: string | undefined }
  lineSets: readonly PipeStripLineSet[]
  branches?: readonly { id: string; name: string; detail?: string | undefined }[] | undefined
  /** `small` is a picture for lists: no tags, nothing to tap. */
  size?: 'full' | 'small' | undefined
  /** `hidden` leaves legend and text to those who can't see the drawing: for a page where room is short. */
  caption?: 'shown' | 'hidden' | undefined
}

/** Drawing units. At 340 wide a unit is about a pixel on the narrowest phone, so a tap area is 50 × 54. */
export const STRIP = {
  width: 340,
  tap: 50,
  gap: 54,
  edge: 4,
  unitWidth: 76,
  bandHeight: 30,
  rowGap: 6,
  top: 24,
  /** Of a close row: both pipes side by side, with the tags of one above and of the other below. */
  closeRow: 62,
  closeGap: 17,
} as const

/** With more line sets than this the drawing is made close, or it would be longer than anybody scrolls. */
const MANY = 4

export interface PlacedJoint {
  joint: PipeStripJoint
  x: number
  y: number
  /** Where the pipe runs; differs from y for a joint on a stub. */
  pipeY: number
  lane: number
  /** What can be tapped, from top to bottom. */
  tap: { top: number; height: number }
  tagY: number
}

export interface PlacedRow {
  lineSet: PipeStripLineSet
  depth: number
  top: number
  bottom: number
  liquidY: number
  gasY: number
  /** Where the two pipes begin. */
  from: number
  /** Where they end; for a trunk, where they turn down. */
  liquidTo: number
  gasTo: number
  joints: PlacedJoint[]
  /** The two pipes lie side by side, and the sizes stand in the unit. */
  close: boolean
  /** Top of the branch band that a trunk runs down to. */
  bandTop: number | undefined
}

export interface PlacedBox {
  name: string
  detail: string | undefined
  /** The line set that runs to it, where its sizes stand in the band. */
  sizes?: PipeStripLineSet | undefined
  kind: 'outdoor' | 'branch'
  depth: number
  /** The leg that line sets start from. */
  x: number
  width: number
  top: number
  bottom: number
  /** A branch unit also has a band across, which holds its name. */
  band: { x: number; y: number; width: number; height: number } | undefined
}

export interface StripLayout {
  height: number
  boxes: PlacedBox[]
  rows: PlacedRow[]
}

/** Places everything; pure, so that a test can measure it. */
export function layOutStrip(props: Pick<PipeStripProps, 'outdoor' | 'lineSets' | 'branches'>): StripLayout {
  const branches = props.branches ?? []
  const known = new Set(branches.map((branch) => branch.id))
  const legWidth = branches.length === 0 ? 40 : 24
  const boxes: PlacedBox[] = []
  const rows: PlacedRow[] = []
  const drawn = new Set<string>()
  let y: number = STRIP.top

  const isMany = props.lineSets.length > MANY
  const legX = (depth: number) => STRIP.edge + depth * (legWidth + 6)

  const drawFrom = (source: string | undefined, depth: number): void => {
    for (const lineSet of props.lineSets) {
      const from = lineSet.from !== undefined && known.has(lineSet.from) ? lineSet.from : undefined
      if (from !== source) continue
      const trunkTo =
        lineSet.to !== undefined && known.has(lineSet.to) && !drawn.has(lineSet.to) ? lineSet.to : undefined
      const place = [lineSet, depth, y, legX(depth) + legWidth, trunkTo !== undefined] as const
      const row = (isMany ? placeCloseRow(...place) : null) ?? placeRow(...place)
      rows.push(row)
      y = row.bottom + STRIP.rowGap
      if (trunkTo !== undefined) {
        row.bandTop = y - 4
        drawBranch(trunkTo, depth + 1)
      }
    }
  }

  const drawBranch = (id: string, depth: number): void => {
    drawn.add(id)
    const branch = branches.find((one) => one.id === id)
    if (branch === undefined) return
    const x = legX(depth)
    const top = y - 4
    const box: PlacedBox = {
      name: branch.name,
      detail: branch.detail,
      sizes: rows.find((row) => row.close && row.lineSet.to === id && row.bandTop !== undefined)?.lineSet,
      kind: 'branch',
      depth,
      x,
      width: legWidth,
      top,
      bottom: top + STRIP.bandHeight,
      band: { x, y: top, width: STRIP.width - STRIP.edge - x, height: STRIP.bandHeight },
    }
    boxes.push(box)
    y = top + STRIP.bandHeight + STRIP.rowGap
    drawFrom(id, depth)
    box.bottom = Math.max(box.bottom, y - STRIP.rowGap - 6)
  }

  const outdoor: PlacedBox = {
    name: props.outdoor.name,
    detail: props.outdoor.detail,
    kind: 'outdoor',
    depth: 0,
    x: STRIP.edge,
    width: legWidth,
    top: y,
    bottom: y,
    band: undefined,
  }
  boxes.push(outdoor)
  drawFrom(undefined, 0)
  // A branch unit whose own line set is not entered yet is still drawn.
  for (const branch of branches) if (!drawn.has(branch.id)) drawBranch(branch.id, 1)
  outdoor.bottom = Math.max(y - STRIP.rowGap - 4, STRIP.top + 60)
  return { height: Math.max(y - STRIP.rowGap + 4, outdoor.bottom + 6), boxes, rows }
}

function placeRow(
  lineSet: PipeStripLineSet,
  depth: number,
  top: number,
  from: number,
  trunk: boolean,
): PlacedRow {
  const half = STRIP.tap / 2
  const halfGap = STRIP.gap / 2
  const unitLeft = STRIP.width - STRIP.edge - STRIP.unitWidth
  const liquidTo = trunk ? STRIP.width - STRIP.edge - 16 : unitLeft
  const gasTo = trunk ? liquidTo - 28 : unitLeft
  const span = { left: from + half, right: (trunk ? gasTo - 12 : unitLeft) - half }
  const liquid = lanes(lineSet.joints, 'liquid', span)
  const gas = lanes(lineSet.joints, 'gas', span)
  const liquidY = top + halfGap + STRIP.gap * (liquid.length - 1)
  const gasY = liquidY + STRIP.gap
  const joints: PlacedJoint[] = []
  liquid.forEach((lane, depthOff) => {
    for (const { joint, x } of lane) {
      joints.push(placed(joint, x, liquidY - STRIP.gap * depthOff, liquidY, depthOff))
    }
  })
  gas.forEach((lane, depthOff) => {
    for (const { joint, x } of lane) {
      joints.push(placed(joint, x, gasY + STRIP.gap * depthOff, gasY, depthOff))
    }
  })
  joints.sort(inReadingOrder)
  const bottom = gasY + halfGap + STRIP.gap * (gas.length - 1)
  return {
    ...{ lineSet, depth, top, bottom, liquidY, gasY, from, liquidTo, gasTo, joints },
    close: false,
    bandTop: undefined,
  }
}

/** The liquid line from its beginning to its end, then the gas line. */
const inReadingOrder = (a: PlacedJoint, b: PlacedJoint): number =>
  (a.joint.line === b.joint.line ? 0 : a.joint.line === 'liquid' ? -1 : 1) ||
  a.joint.at - b.joint.at ||
  a.lane - b.lane

/** Tags stand between the two pipes; those of stubs stand beyond their mark. */
function placed(joint: PipeStripJoint, x: number, y: number, pipeY: number, lane: number): PlacedJoint {
  const isLiquid = joint.line === 'liquid'
  const tagY = y === pipeY ? (isLiquid ? y + 23 : y - 17) : y + (isLiquid ? -14 : 23)
  return { joint, x, y, pipeY, lane, tap: { top: y - STRIP.gap / 2, height: STRIP.gap }, tagY }
}

/**
 * Half as high: the pipes lie side by side, and each mark has its own place along the pair, so that each is tapped as
 * easily as ever. Ports and caps hang below. Null where there is no room along the pair.
 */
function placeCloseRow(
  lineSet: PipeStripLineSet,
  depth: number,
  top: number,
  from: number,
  trunk: boolean,
): PlacedRow | null {
  const half = STRIP.tap / 2
  const unitLeft = STRIP.width - STRIP.edge - STRIP.unitWidth
  const liquidTo = trunk ? STRIP.width - STRIP.edge - 16 : unitLeft
  const gasTo = trunk ? liquidTo - 28 : unitLeft
  const span = { left: from + half, right: (trunk ? gasTo - 12 : unitLeft) - half }
  const room = Math.floor((span.right - span.left) / STRIP.tap + 1e-9) + 1
  const byLine = (a: PipeStripJoint, b: PipeStripJoint) => Number(a.line === 'gas') - Number(b.line === 'gas')
  const onPipe = lineSet.joints
    .filter((joint) => joint.onStub !== true)
    .sort((a, b) => a.at - b.at || byLine(a, b))
  // Those of the liquid line first: their stubs go behind the gas pipe, away from its own.
  const offPipe = lineSet.joints.filter((joint) => joint.onStub === true).sort(byLine)
  const inner = { left: span.left + half, right: span.right }
  const innerRoom = Math.floor((inner.right - inner.left) / STRIP.tap + 1e-9) + 1
  if (onPipe.length > room || offPipe.length > innerRoom) return null
  const liquidY = top + 22
  const gasY = liquidY + STRIP.closeGap
  const stubY = top + STRIP.closeRow + 22
  const pipeOf = (joint: PipeStripJoint) => (joint.line === 'liquid' ? liquidY : gasY)
  const joints = [
    ...spreadOut(onPipe, span).map(({ joint, x }) => ({
      ...{ joint, x, y: pipeOf(joint), pipeY: pipeOf(joint), lane: 0 },
      tap: { top, height: STRIP.closeRow },
      tagY: joint.line === 'liquid' ? liquidY - 12 : gasY + 20,
    })),
    ...spreadOut(offPipe, inner).map(({ joint, x }) => ({
      ...{ joint, x, y: stubY, pipeY: pipeOf(joint), lane: 1 },
      tap: { top: top + STRIP.closeRow, height: STRIP.gap },
      tagY: stubY + 22,
    })),
  ].sort(inReadingOrder)
  const bottom = top + STRIP.closeRow + (offPipe.length > 0 ? STRIP.gap : 0)
  return {
    ...{ lineSet, depth, top, bottom, liquidY, gasY, from, liquidTo, gasTo, joints },
    close: true,
    bandTop: undefined,
  }
}

/** Lane 0 lies on the pipe; the next lanes are stubs off it, for ports and caps and for what finds no room. */
function lanes(
  joints: readonly PipeStripJoint[],
  line: 'liquid' | 'gas',
  span: { left: number; right: number },
): { joint: PipeStripJoint; x: number }[][] {
  const room = Math.max(1, Math.floor((span.right - span.left) / STRIP.tap + 1e-9) + 1)
  const own = joints.filter((joint) => joint.line === line).sort((a, b) => a.at - b.at)
  const onPipe = own.filter((joint) => joint.onStub !== true)
  const offPipe = own.filter((joint) => joint.onStub === true)
  // The two ends keep their place on the pipe; couplings that find no room move off it.
  const kept = onPipe.length <= room ? onPipe : [...onPipe.slice(0, room - 1), ...onPipe.slice(-1)]
  const waiting = [...offPipe, ...onPipe.filter((joint) => !kept.includes(joint))].sort((a, b) => a.at - b.at)
  const result = [spreadOut(kept, span)]
  // Stubs leave the pipe between two marks, so half a tap area further in.
  const inner = { left: span.left + STRIP.tap / 2, right: Math.max(span.left, span.right - STRIP.tap / 2) }
  const innerRoom = Math.max(1, room - 1)
  for (let start = 0; start < waiting.length; start += innerRoom) {
    result.push(spreadOut(waiting.slice(start, start + innerRoom), inner))
  }
  return result
}

/** Moves marks apart until no tap areas overlap, as little as it takes. */
function spreadOut(
  joints: readonly PipeStripJoint[],
  span: { left: number; right: number },
): { joint: PipeStripJoint; x: number }[] {
  const placed = joints.map((joint) => ({
    joint,
    x: span.left + Math.min(1, Math.max(0, joint.at)) * (span.right - span.left),
  }))
  for (let i = 1; i < placed.length; i += 1) {
    const before = placed[i - 1]
    const here = placed[i]
    if (before !== undefined && here !== undefined) here.x = Math.max(here.x, before.x + STRIP.tap)
  }
  for (let i = placed.length - 1; i >= 0; i -= 1) {
    const here = placed[i]
    const after = placed[i + 1]
    if (here !== undefined) here.x = Math.min(here.x, after === undefined ? span.right : after.x - STRIP.tap)
  }
  return placed.map((one) => ({ joint: one.joint, x: Math.round(one.x * 10) / 10 }))
}

const LEGEND_ORDER: readonly JointState[] = [
  'not-begun',
  'begun',
  'done',
  'refused',
  'stale',
  'factory',
  'retired',
]

export function PipeStrip(props: PipeStripProps): JSX.Element {
  if (props.size === 'small') return <SmallStrip {...props} />
  const { boxes, rows, height } = layOutStrip(props)
  const joints = rows.flatMap((row) => row.joints)
  const links = joints.some(({ joint }) => joint.href !== undefined)
  const states = LEGEND_ORDER.filter((state) => joints.some(({ joint }) => joint.state === state))
  return (
    <figure class="pipe-strip">
      <svg
        class="pipe-strip-full"
        viewBox={`0 0 ${STRIP.width} ${height}`}
        role={links ? 'group' : 'img'}
        aria-label={`${props.label}: ${sumUp(props)}`}
      >
        {/* biome-ignore lint/a11y/noAriaHiddenOnFocusable: a drawn group takes no focus; its words stand in the text below */}
        <g aria-hidden="true">
          {boxes.map((box) => (
            <Box key={`${box.kind} ${box.name} ${box.top}`} box={box} />
          ))}
          {rows.map((row) => (
            <Pipes key={row.lineSet.id} row={row} />
          ))}
        </g>
        {rows.map((row) => (
          <g key={row.lineSet.id} class="ps-row" data-line-set={row.lineSet.id}>
            {row.joints.map((placed) => (
              <Joint key={placed.joint.id} placed={placed} unit={row.lineSet.name} />
            ))}
          </g>
        ))}
      </svg>
      {props.caption === 'hidden' ? (
        <figcaption class="vh">
          <StripText {...props} rows={rows} plain />
        </figcaption>
      ) : (
        <figcaption>
          <ul class="ps-legend" aria-label={say.parts.whatTheMarksSay}>
            {states.map((state) => (
              <li key={state}>
                <svg viewBox="0 0 24 24" width="24" height="24" aria-hidden="true" focusable="false">
                  <JointMark x={12} y={12} state={state} />
                </svg>
                {jointStateWords()[state]}
              </li>
            ))}
            {joints.some(({ joint }) => joint.current === true) ? (
              <li>
                <svg viewBox="0 0 24 24" width="24" height="24" aria-hidden="true" focusable="false">
                  <circle class="ps-current" cx="12" cy="12" r="10.5" />
                </svg>
                {say.parts.thisJoint}
              </li>
            ) : null}
          </ul>
          <details class="ps-text">
            <summary>
              <span>{say.parts.asText}</span>
            </summary>
            <StripText {...props} rows={rows} />
          </details>
        </figcaption>
      )}
    </figure>
  )
}

function Box(props: { box: PlacedBox }): JSX.Element {
  const { box } = props
  const { band } = box
  const fins: number[] = []
  for (let y = (band === undefined ? box.top : band.y + band.height) + 10; y < box.bottom - 6; y += 10)
    fins.push(y)
  if (band === undefined) {
    return (
      <g class="ps-box ps-outdoor">
        <rect class="ps-unit" x={box.x} y={box.top} width={box.width} height={box.bottom - box.top} />
        {fins.map((y) => (
          <path key={y} class="ps-fin" d={`M${box.x + 6} ${y}h${box.width - 12}`} />
        ))}
        <text class="ps-name" x={box.x} y={box.top - 8}>
          {shorten(box.name, 38)}
          {box.detail === undefined ? null : (
            <tspan class="ps-soft"> {shorten(box.detail, 44 - Math.min(38, box.name.length))}</tspan>
          )}
        </text>
      </g>
    )
  }
  const right = band.x + band.width
  return (
    <g class="ps-box ps-branch">
      <path
        class="ps-unit"
        d={`M${band.x} ${band.y}H${right}V${band.y + band.height}H${box.x + box.width}V${box.bottom}H${box.x}z`}
      />
      <text class="ps-name" x={band.x + 8} y={band.y + 20}>
        {shorten(box.name, 24)}
        {box.sizes === undefined ? (
          box.detail === undefined ? null : (
            <tspan class="ps-soft"> {shorten(box.detail, 40 - Math.min(24, box.name.length))}</tspan>
          )
        ) : (
          <tspan class="ps-soft"> {shorten(sizesOf(box.sizes), 46 - Math.min(24, box.name.length))}</tspan>
        )}
      </text>
    </g>
  )
}

/** "1/4 · 3/8 in, 12 m" */
const sizesOf = (lineSet: PipeStripLineSet): string =>
  [bothSizes(lineSet), lineSet.lengthLabel].filter(Boolean).join(', ')

/** "1/4 · 3/8 in": beside the pipes it is seen which is which. */
function bothSizes({ liquidLabel, gasLabel }: PipeStripLineSet): string {
  const [liquid = '', gas = ''] = [liquidLabel, gasLabel].map((label) => label.replace(/^\S+ /, ''))
  const unit = /(\s\S+)$/.exec(gas)?.[1] ?? ''
  return unit !== '' && liquid.endsWith(unit)
    ? `${liquid.slice(0, -unit.length)} · ${gas}`
    : `${liquid} · ${gas}`
}

function Pipes(props: { row: PlacedRow }): JSX.Element {
  const { row } = props
  const { lineSet } = row
  const unitLeft = STRIP.width - STRIP.edge - STRIP.unitWidth
  const trunk = row.bandTop !== undefined
  const down = row.bandTop === undefined ? '' : `V${row.bandTop}`
  const liquidLabelX = labelPlace(row, 'liquid')
  const gasLabelX = labelPlace(row, 'gas')
  // A long word takes smaller letters before it is cut.
  const longName = lineSet.name.split(/\s+/).some((word) => word.length > 9)
  const name = wrap(lineSet.name, longName ? 12 : 9, 2)
  const detail = wrap(lineSet.detail ?? '', 12, 4 - name.length)
  return (
    <g class="ps-pipes">
      {row.joints
        .filter((placed) => placed.lane > 0)
        .map((placed) => (
          <path key={placed.joint.id} class="ps-stub" d={`M${placed.x} ${placed.pipeY}V${placed.y}`} />
        ))}
      {row.close
        ? row.joints
            .filter((placed) => placed.lane > 0 && placed.joint.line === 'liquid')
            .map((placed) => (
              <circle key={placed.joint.id} class="ps-tee" cx={placed.x} cy={placed.pipeY} r={4} />
            ))
        : null}
      <path class="ps-liquid" d={`M${row.from} ${row.liquidY}H${row.liquidTo}${down}`} />
      <path class="ps-gas" d={`M${row.from} ${row.gasY}H${row.gasTo}${down}`} />
      {trunk ? null : row.close ? (
        <CloseUnit row={row} />
      ) : (
        <>
          <rect
            class="ps-unit"
            x={unitLeft}
            y={row.liquidY - 17}
            width={STRIP.unitWidth}
            height={STRIP.gap + 34}
          />
          {name.map((words, index) => (
            <text
              key={`${index} ${words}`}
              class={longName ? 'ps-name ps-name-long' : 'ps-name'}
              x={unitLeft + 6}
              y={row.liquidY + index * 15}
            >
              {words}
            </text>
          ))}
          {detail.map((words, index) => (
            <text
              key={`${index} ${words}`}
              class="ps-soft"
              x={unitLeft + 6}
              y={row.liquidY + 2 + (name.length + index) * 14.5}
            >
              {words}
            </text>
          ))}
        </>
      )}
      {row.close ? null : (
        <>
          <text class="ps-soft ps-halo" x={liquidLabelX} y={row.liquidY - 13} text-anchor="middle">
            {shorten(lineSet.liquidLabel, 26)}
          </text>
          <text class="ps-soft ps-halo" x={gasLabelX} y={row.gasY + 22} text-anchor="middle">
            {shorten(
              lineSet.lengthLabel === undefined
                ? lineSet.gasLabel
                : `${lineSet.gasLabel} · ${lineSet.lengthLabel}`,
              30,
            )}
          </text>
        </>
      )}
    </g>
  )
}

/** The unit of a close row: its name, then sizes and length, then the rest that there is room for. */
function CloseUnit({ row }: { row: PlacedRow }): JSX.Element {
  const { lineSet } = row
  const left = STRIP.width - STRIP.edge - STRIP.unitWidth
  const lines = [bothSizes(lineSet), lineSet.lengthLabel ?? '', lineSet.detail ?? ''].filter(Boolean)
  const { length } = lineSet.name
  return (
    <>
      <rect class="ps-unit" x={left} y={row.top + 3} width={STRIP.unitWidth} height={STRIP.closeRow - 6} />
      <text
        class={length > 11 ? 'ps-name ps-name-longest' : length > 9 ? 'ps-name ps-name-long' : 'ps-name'}
        x={left + 5}
        y={row.top + 17}
      >
        {shorten(lineSet.name, 15)}
      </text>
      {lines.map((line, index) => (
        <text key={line} class="ps-soft ps-close" x={left + 5} y={row.top + 29 + index * 12}>
          {shorten(line, 16)}
        </text>
      ))}
    </>
  )
}

/** The middle of the widest stretch without a stub. */
function labelPlace(row: PlacedRow, line: 'liquid' | 'gas'): number {
  const stubs = row.joints
    .filter((placed) => placed.lane > 0 && placed.joint.line === line)
    .map((placed) => placed.x)
    .sort((a, b) => a - b)
  const ends = [row.from, ...stubs, Math.min(row.liquidTo, row.gasTo)]
  let best = { from: row.from, to: row.from }
  for (let i = 1; i < ends.length; i += 1) {
    const [from, to] = [ends[i - 1] ?? 0, ends[i] ?? 0]
    if (to - from > best.to - best.from) best = { from, to }
  }
  return Math.round((best.from + best.to) / 2)
}

function Joint(props: { placed: PlacedJoint; unit: string }): JSX.Element {
  const { joint, x, y, tap, tagY } = props.placed
  const spoken = say.parts.line(
    joint.tag,
    props.unit,
    joint.place,
    coded(joint.line),
    jointStateWords()[joint.state],
    joint.current === true ? say.parts.thisJoint2 : '',
  )
  const drawn = (
    <>
      <rect class="ps-tap" x={x - STRIP.tap / 2} y={tap.top} width={STRIP.tap} height={tap.height} rx={4} />
      {joint.current === true ? <circle class="ps-current" cx={x} cy={y} r={13} /> : null}
      <JointMark x={x} y={y} state={joint.state} />
      {/* biome-ignore lint/a11y/noAriaHiddenOnFocusable: drawn text takes no focus; the joint's label says the tag */}
      <text
        class={`ps-tag${joint.tag.length > 8 ? ' ps-tag-longer' : joint.tag.length > 6 ? ' ps-tag-long' : ''}`}
        x={x}
        y={tagY}
        text-anchor="middle"
        aria-hidden="true"
      >
        {shorten(joint.tag, 9)}
      </text>
    </>
  )
  return joint.href === undefined ? (
    <g class="ps-joint" data-joint={joint.id}>
      <title>{spoken}</title>
      {drawn}
    </g>
  ) : (
    <a
      class="ps-joint"
      data-joint={joint.id}
      href={joint.href}
      aria-label={spoken}
      aria-current={joint.current === true ? 'true' : undefined}
    >
      <title>{spoken}</title>
      {drawn}
    </a>
  )
}

function StripText(props: PipeStripProps & { rows: readonly PlacedRow[]; plain?: boolean }): JSX.Element {
  const branchName = (id: string | undefined) =>
    (props.branches ?? []).find((branch) => branch.id === id)?.name
  return (
    <>
      <p>
        {props.outdoor.name}
        {props.outdoor.detail === undefined ? '' : `, ${props.outdoor.detail}`}
      </p>
      <ol class="ps-text-sets">
        {props.rows.map(({ lineSet, joints }) => (
          <li key={lineSet.id}>
            <b>{lineSet.name}</b>
            {lineSet.detail === undefined ? '' : `, ${lineSet.detail}`}
            {branchName(lineSet.from) === undefined ? '' : say.parts.from(branchName(lineSet.from))}
            {branchName(lineSet.to) === undefined ? '' : say.parts.to2(branchName(lineSet.to))}:{' '}
            {lineSet.liquidLabel}, {lineSet.gasLabel}
            {lineSet.lengthLabel === undefined ? '' : `, ${lineSet.lengthLabel}`}
            {joints.length === 0 ? (
              <p>{say.parts.noJointsYet}</p>
            ) : (
              <ol>
                {joints.map(({ joint }) => (
                  <li key={joint.id} data-text-joint={joint.id}>
                    {say.parts.line2(
                      joint.href === undefined || props.plain === true ? (
                        joint.tag
                      ) : (
                        <a href={joint.href}>{joint.tag}</a>
                      ),
                      joint.place,
                      coded(joint.line),
                      <b>{jointStateWords()[joint.state]}</b>,
                      joint.words === '' ? '' : `, ${joint.words}`,
                      joint.current === true ? say.parts.thisJoint2 : '',
                    )}
                  </li>
                ))}
              </ol>
            )}
          </li>
        ))}
      </ol>
    </>
  )
}

const SMALL = { width: 150, row: 25, left: 22, right: 128 } as const

/** One short row per line set; the words are in its label. */
function SmallStrip(props: PipeStripProps): JSX.Element {
  const { rows } = layOutStrip(props)
  const height = Math.max(1, rows.length) * SMALL.row + 6
  return (
    <svg
      class="pipe-strip-small"
      viewBox={`0 0 ${SMALL.width} ${height}`}
      role="img"
      aria-label={`${props.label}: ${sumUp(props)}`}
    >
      <rect class="ps-unit" x={2} y={2} width={SMALL.left - 8} height={height - 4} />
      {rows.map((row, index) => {
        const liquidY = 3 + index * SMALL.row + 5
        const gasY = liquidY + 12
        const from = row.depth === 0 ? SMALL.left - 6 : SMALL.left + row.depth * 8
        return (
          <g key={row.lineSet.id}>
            {row.depth === 0 ? null : <path class="ps-fin" d={`M${from} ${liquidY - 3}V${gasY + 3}`} />}
            <path class="ps-liquid-small" d={`M${from} ${liquidY}H${SMALL.right}`} />
            <path class="ps-gas-small" d={`M${from} ${gasY}H${SMALL.right}`} />
            <rect
              class="ps-unit"
              x={SMALL.right}
              y={liquidY - 3}
              width={SMALL.width - SMALL.right - 2}
              height={16}
            />
            {row.joints
              .filter(({ joint }) => joint.state !== 'retired')
              .map(({ joint }) => (
                <JointMark
                  key={joint.id}
                  x={from + 8 + Math.min(1, Math.max(0, joint.at)) * (SMALL.right - from - 16)}
                  y={joint.line === 'liquid' ? liquidY : gasY}
                  state={joint.state}
                  scale={0.48}
                />
              ))}
          </g>
        )
      })}
    </svg>
  )
}

/** "4 line sets, 16 joints: 12 done, 1 refused, 3 not begun" */
export function sumUp(props: Pick<PipeStripProps, 'lineSets' | 'outdoor'>): string {
  const joints = props.lineSets.flatMap((lineSet) => lineSet.joints)
  const counts = LEGEND_ORDER.map((state) => ({
    state,
    count: joints.filter((joint) => joint.state === state).length,
  })).filter((one) => one.count > 0)
  const sets = say.parts.line3(
    props.lineSets.length,
    props.lineSets.length === 1 ? say.parts.set : say.parts.sets,
  )
  if (joints.length === 0) return say.parts.noJointsYet2(sets)
  return `${sets}, ${joints.length === 1 ? say.parts.oneJoint : say.parts.joints(joints.length)}: ${counts
    .map(({ state, count }) => `${count} ${jointStateWords()[state]}`)
    .join(', ')}`
}

/** Cuts words that would run out of the drawing; the text below it has them whole. */
function shorten(words: string, most: number): string {
  return words.length <= most ? words : `${words.slice(0, Math.max(1, most - 1)).trimEnd()}…`
}

function wrap(words: string, most: number, lines: number): string[] {
  const result: string[] = []
  for (const word of words.split(/\s+/).filter((one) => one !== '')) {
    const last = result[result.length - 1]
    if (last !== undefined && last.length + 1 + word.length <= most)
      result[result.length - 1] = `${last} ${word}`
    else result.push(word)
  }
  if (result.length <= lines) return result.map((one) => shorten(one, most))
  const kept = result.slice(0, lines)
  const last = (kept.pop() ?? '').split(' ')
  while (last.length > 1 && last.join(' ').length >= most) last.pop()
  return [...kept, `${last.join(' ')}…`].map((one) => shorten(one, most))
}
