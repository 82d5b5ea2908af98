// May this equipment sheet be used for a system with this refrigerant?

import { conflict, missingField } from '../../refusals.ts'
import { findSheetIfAny, type SheetRow } from '../../store/queries/equipment-sheets.ts'
import type { Scope } from '../../store/store.ts'
import type { RefrigerantName } from '../../vocabulary.ts'
import { say } from '../../words/say.ts'

/** A sheet of another refrigerant would judge the system by pressures and charges that are not its own. */
export async function sheetFor(
  scope: Scope,
  sheetId: string,
  refrigerant: RefrigerantName,
): Promise<SheetRow> {
  const sheet = await findSheetIfAny(scope, sheetId)
  if (!sheet) throw missingField('equipmentSheetId', say.systems.thisEquipmentSheet)
  if (sheet.refrigerant !== refrigerant) {
    const message = say.systems.thisSheetIsFor(sheet.refrigerant, refrigerant)
    throw conflict('refrigerant-differs', message, [{ path: 'equipmentSheetId', message }])
  }
  return sheet
}
