// What can hurt somebody at this step, and what comes before this program?

import type { ComponentChildren, JSX } from 'preact'
import { say } from '../../server/words/say.ts'

export type Harm =
  | 'pressure'
  | 'oxygen'
  | 'flammable'
  | 'frostbite'
  | 'electricity'
  | 'no-air'
  | 'fire'
  | 'fall'
  | 'environment'

const harmWords = (): Record<Harm, string> => ({
  pressure: say.parts.pressure,
  oxygen: say.parts.oxygen,
  flammable: say.parts.flammableRefrigerant,
  frostbite: say.parts.frostbite,
  electricity: say.parts.electricity,
  'no-air': say.parts.noAirToBreathe,
  fire: say.parts.fire,
  fall: say.parts.fall,
  environment: say.parts.refrigerantToTheAir,
})

export interface CautionProps {
  harm: Harm | readonly Harm[]
  /** The caution itself, one or two short sentences. */
  children: ComponentChildren
  /** Leave the closing sentence out where another caution on the same screen has it. Default true. */
  comesFirst?: boolean | undefined
}

export function Caution(props: CautionProps): JSX.Element {
  const harms = typeof props.harm === 'string' ? [props.harm] : props.harm
  return (
    <div class="caution" role="note">
      <svg
        class="caution-shape"
        viewBox="0 0 20 20"
        width="20"
        height="20"
        aria-hidden="true"
        focusable="false"
      >
        <path d="M1 10L10 1l9 9-9 9z" />
        <path class="om-cut" d="M10 5.5v6M10 13.5v1.6" />
      </svg>
      <p>
        <strong>{name(harms)}.</strong> {props.children}
        {props.comesFirst === false ? null : (
          <span class="comes-first"> {say.parts.equipmentManualLocalCode}</span>
        )}
      </p>
    </div>
  )
}

/** "Oxygen, pressure" */
function name(harms: readonly Harm[]): string {
  return harms
    .map((harm, index) => (index === 0 ? harmWords()[harm] : harmWords()[harm].toLowerCase()))
    .join(', ')
}
