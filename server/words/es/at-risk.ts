// What is said of joints that are like those that leaked, and of the jobs that look at them again?

import { type Part, phrase } from '../phrase.ts'

export const atRisk = {
  shares: (conditions: string) => `lo mismo: ${conditions}`,
  torqueNotRead: 'no se leyó su par',
  torqueWithoutRange: (pulled: string) => `apretada a ${pulled}, sin intervalo con que comparar`,
  torqueOutside: (pulled: string, range: string) => `apretada a ${pulled}, fuera de ${range}`,
  torqueNearLimit: (pulled: string, range: string) => `apretada a ${pulled}, cerca de un límite de ${range}`,
  torqueInside: (pulled: string, range: string) => `apretada a ${pulled}, bien dentro de ${range}`,
  noLeakCheck: 'sin comprobación de fugas propia',
  coarseLeakCheck: 'comprobada con burbujas, sonido o a la vista',
  fineLeakCheck: 'comprobada con detector o trazador',
  inServiceFor: (years: string) => `${years} años en servicio`,
  title: 'Uniones con más riesgo',
  titleOf: (label: string) => `Con más riesgo: ${label}`,
  atRiskLink: 'Las de más riesgo',
  leadGroup:
    'En servicio, hechas en las mismas condiciones que las que fugaron. Primero están las que conviene mirar primero.',
  leadCallback: (cause: string, tag: string) =>
    `En servicio, y las más parecidas a ${tag}, que fugó: ${cause}. Primero están las que conviene mirar primero.`,
  sharedBy: (conditions: string) => `Se parece la que comparte lo primero de esto: ${conditions}.`,
  allAgreeIn: (conditions: string) => `Todas sus uniones que fugaron coinciden en esto: ${conditions}.`,
  neverByPerson: 'Quién hizo una unión no la sube ni la baja.',
  howRanked: 'Cómo se ordenan',
  standsOut: (leaks: number, expected: string) =>
    `El grupo destaca: ${leaks} fugas, donde se esperaban ${expected}.`,
  doesNotStandOut:
    'Este grupo no destaca: la diferencia cabe en el azar. La lista es solo para mirar; se abren trabajos donde la evidencia lo sostiene.',
  nobody: 'No hay en servicio ninguna unión así',
  nobodyWhy: 'No queda ninguna en servicio, o nada del registro hace parecida a otra.',
  nothingChosen: 'Elija un grupo que destaque, o una reclamación cerrada.',
  noJointNamed:
    'La reclamación no nombra ninguna unión nuestra con su causa; no hay nada a lo que parecerse.',
  joint: 'Unión',
  where: 'Dónde',
  why: 'Por qué aquí',
  points: 'Puntos',
  followUp: 'Seguimiento',
  inJob: 'en un trabajo',
  lookedAt: 'mirada',
  notYet: 'ninguno',
  tick: (tag: string) => `Marcar ${tag}`,
  openForTicked: 'Abrir trabajos para las marcadas',
  mostAtRisk: 'Cuántas, desde arriba',
  openForMost: 'Abrir trabajos para tantas',
  jobsWhy:
    'Un trabajo por emplazamiento, con las uniones que hay que volver a mirar y por qué. La que ya tiene uno abierto no recibe otro.',
  asCsv: 'Como tabla (CSV)',
  joints: 'uniones',
  ofAll: (count: number) => (count === 1 ? 'Una unión.' : `${count} uniones.`),
  cut: (count: number) => `Solo se miraron las ${count} que se firmaron las últimas.`,
  openOnes: (count: number) =>
    count === 1
      ? 'Una de ellas está en un trabajo de seguimiento abierto.'
      : `${count} de ellas están en trabajos de seguimiento abiertos.`,
  backToTheGroups: 'Volver a los grupos',
  theCallback: 'La reclamación',
  reference: 'Seguimiento: uniones con riesgo',
  lookAgain: 'Para volver a mirar',
  lookAgainWhy:
    'Compruebe cada una con un detector y mírela. Si hay que rehacer una unión, empiece una nueva ejecución en su página: conserva su historia.',
  notLookedAtYet: 'Sin mirar todavía.',
  checkedHere: 'Comprobada en este trabajo.',
  madeAgainHere: 'Rehecha en este trabajo.',
  becauseGroup: (label: string, leaks: number, expected: string) =>
    `${label}: ${leaks} fugas en uniones así, donde se esperaban ${expected}.`,
  becauseCallback: (callback: Part, cause: string) =>
    phrase`${callback} halló una parecida con fuga: ${cause}.`,
  aCallback: 'Una reclamación',
  jobsFor: 'Mirar uniones como esta',
  notByPerson: 'Las uniones no se eligen por quién las hizo: mire qué más comparten.',
  oneOfBoth: 'Nombre un grupo por su clave, o una reclamación: uno de los dos.',
  chooseOne: 'Diga cuántas desde arriba, o qué uniones: una de las dos cosas.',
  thisGroup: 'Este grupo',
  oneOfTheseJoints: 'Una de estas uniones en la lista',
  callbackIsOpen: 'Esta reclamación sigue abierta: ciérrela primero con su causa.',
  groupNotFlagged: 'Este grupo no destaca, así que no se abren trabajos para él.',
  nothingToFollow: 'No hay ninguna unión en servicio que seguir.',
}
