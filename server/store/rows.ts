// Which JSON do some columns hold? The shapes that are not worth a table of their own.

import type { Calibration, Coverage, Credential, EquipmentSheet, Room } from '../rules/dossier.ts'

export interface CrewFacts {
  credentials: Credential[]
}

/** The figures of an equipment sheet apart from the columns that are searched. */
export type SheetFigures = Omit<EquipmentSheet, 'id' | 'maker' | 'model' | 'refrigerant' | 'source'>

export type RoomFacts = Room
export type CoverageFacts = Coverage[]
export type CalibrationPoints = Calibration['points']

/** How a gauge's log was read: enough to read its bytes the same way once more. */
export interface ReadingLogFacts {
  /** As it was chosen: columns by number, units, zone, moments. */
  read: Record<string, unknown>
  /** Rows that became no reading, by the reason. */
  leftOut: { unread: number; settling: number; inRecord: number; thinned: number }
}

/** What somebody typed, exactly: the quantities as sent, by field path. */
export type AsTyped = Record<string, { value: number; unit: string }>
